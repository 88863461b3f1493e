import type { Result } from "../local/result";
import type { Mark } from "../local/rows";
import { write } from "./write";

export type MarkPhoto = { jobId: string; photoId: string; marks: Mark[]; draftKey?: string };

/**
 * Draw on a photo that was saved before, one's own or somebody else's.
 *
 * With no signal the marks show at once on this phone and are sent like words; the picture is not
 * sent again. They are added to what others drew meanwhile. The server may later refuse them when
 * the job is no longer this person's, or when the photo is full of marks; they then lie under
 * "Needs your attention".
 */
export async function markPhoto({ jobId, photoId, marks, draftKey }: MarkPhoto): Promise<Result> {
  const deed = { type: "photo.mark", entity: photoId, fields: { marks } } as const;
  return await write({ jobId, deeds: [deed], draftKey });
}
