/** What the bridge and the engine's worker say to each other. */

/** A calculation with its input as JSON, or, without a name, the question for the version. */
export type Question = { id: number; name: string | null; text: string };

export type Answer =
  | { id: number; ok: true; text: string }
  | { id: number; ok: false; message: string };
