// Plays the build: moves the cursor through the shown window in some twenty seconds, or, where motion is to be reduced,
// from layer to layer at a quiet pace.
import type { WindowReply } from '../../src/messages/analysis.ts';
import type { App } from '../app.ts';
import { reducedMotion } from '../theme.ts';

const playMs = 20_000;
const stillMs = 800;

export class Player {
  readonly #app: App;
  readonly #layers: () => WindowReply['layers'];
  readonly #onChange: (playing: boolean) => void;
  #playing = false;
  #last = 0;

  constructor(app: App, layers: () => WindowReply['layers'], onChange: (playing: boolean) => void) {
    this.#app = app;
    this.#layers = layers;
    this.#onChange = onChange;
  }

  toggle(): void {
    if (this.#playing) this.stop();
    else this.#start();
  }

  stop(): void {
    if (!this.#playing) return;
    this.#playing = false;
    this.#onChange(false);
  }

  /** To the start of the layer before or after the cursor; false where there is none. */
  stepLayer(way: 1 | -1): boolean {
    this.stop();
    const next = this.#layerStart(way);
    if (next !== undefined) void this.#app.pick(next);
    return next !== undefined;
  }

  #layerStart(way: 1 | -1): number | undefined {
    const at = this.#app.choices.now.cursorS;
    const layers = this.#layers();
    const found =
      way > 0 ? layers.find(({ timeS }) => timeS > at + 1e-9) : layers.findLast(({ timeS }) => timeS < at - 1e-9);
    return found?.timeS;
  }

  #start(): void {
    const { fromS, toS } = this.#app.window;
    const { cursorS } = this.#app.choices.now;
    if (!(cursorS >= fromS && cursorS < toS)) this.#app.choices.set({ cursorS: fromS });
    this.#playing = true;
    this.#onChange(true);
    this.#last = performance.now();
    if (reducedMotion()) setTimeout(() => this.#still(), stillMs);
    else requestAnimationFrame((now) => this.#frame(now));
  }

  #frame(now: number): void {
    if (!this.#playing) return;
    const { fromS, toS } = this.#app.window;
    this.#moveTo(this.#app.choices.now.cursorS + ((now - this.#last) / playMs) * (toS - fromS), toS);
    this.#last = now;
    requestAnimationFrame((next) => this.#frame(next));
  }

  #still(): void {
    if (!this.#playing) return;
    const { fromS, toS } = this.#app.window;
    this.#moveTo(this.#layerStart(1) ?? this.#app.choices.now.cursorS + (toS - fromS) / 20, toS);
    setTimeout(() => this.#still(), stillMs);
  }

  #moveTo(timeS: number, endS: number): void {
    this.#app.choices.set({ cursorS: Math.min(timeS, endS), hoverS: NaN });
    if (timeS >= endS) this.stop();
  }
}
