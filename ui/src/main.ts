import './tokens.css';
import './page.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { arrive, close, follow } from './house/address';
import { breath } from './house/breath';
import { open } from './house/engine';

// Each in a task of its own: this module, the engine's start, the page.
setTimeout(open);
const place = document.getElementById('page');
if (place) {
  void arrive().then(breath).then(() => {
    place.replaceChildren();
    mount(App, { target: place });
  });
}
addEventListener('popstate', () => void follow());
addEventListener('hashchange', () => void follow());
addEventListener('pagehide', close);
