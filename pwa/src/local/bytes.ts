const encoder = new TextEncoder();

/** How many bytes words take on their way and at the server, which both count in UTF-8. */
export const bytesIn = (words: string): number => encoder.encode(words).length;

/** Of what a form holds, without the few words that stand between. */
export function bytesInForm(form: FormData): number {
  const sizes = [...form.values()].map((one) => (one instanceof Blob ? one.size : bytesIn(one)));
  return sizes.reduce((sum, size) => sum + size, 0);
}
