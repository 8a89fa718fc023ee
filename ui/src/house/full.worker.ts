// The module that searches and plans, too.
import init, { Engine } from '../../engine/full.js';
import { serve } from './worker';

serve(init, Engine);
