// The small module, which a page waits for.
import init, { Engine } from '../../engine/first.js';
import { serve } from './worker';

serve(init, Engine);
