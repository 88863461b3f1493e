/** Writes under way in this tab: an update waits until there is none. */
let open = 0;
let waiting: (() => void)[] = [];

export async function whileWriting<T>(work: () => Promise<T>): Promise<T> {
  open += 1;
  try {
    return await work();
  } finally {
    open -= 1;
    if (open === 0) {
      const ready = waiting;
      waiting = [];
      for (const go of ready) {
        go();
      }
    }
  }
}

export async function noOpenWrites(): Promise<void> {
  if (open > 0) {
    await new Promise<void>((resolve) => waiting.push(resolve));
  }
}
