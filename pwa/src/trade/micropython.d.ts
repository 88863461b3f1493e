/** What we use of the MicroPython package, which ships without types. */
declare module "@micropython/micropython-webassembly-pyscript/micropython.mjs" {
  export type MicroPython = {
    FS: {
      mkdir(path: string): void;
      writeFile(path: string, text: string): void;
    };
    globals: { get(name: string): unknown };
    runPython(code: string): unknown;
  };
  export function loadMicroPython(options: {
    url: string;
    heapsize: number;
    pystack: number;
  }): Promise<MicroPython>;
}
