import './tokens.css';
import './page.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { arrive, close, follow } from './house/address';
import { open } from './house/engine';

open();
const place = document.getElementById('page');
if (place) {
  void arrive().then(() => {
    place.replaceChildren();
    mount(App, { target: place });
  });
}
addEventListener('popstate', () => void follow());
addEventListener('hashchange', () => void follow());
addEventListener('pagehide', close);
