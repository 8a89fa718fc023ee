// A module that several workers share: one fetches and compiles it, the others wait for what it made.

export type Given = WebAssembly.Module | string;

export class Fetched {
  private asked = false;
  private settle: (given: Given) => void = () => undefined;
  private readonly module = new Promise<Given>((settle) => (this.settle = settle));

  constructor(private readonly address: string) {}

  /** For a worker that opens: the address for the first one, the compiled module for those after it. */
  give(): Promise<Given> {
    if (this.asked) return this.module;
    this.asked = true;
    return Promise.resolve(this.address);
  }

  got(module: WebAssembly.Module) {
    this.settle(module);
  }

  /** The first worker could not: the others try for themselves. */
  lost() {
    this.settle(this.address);
  }
}
