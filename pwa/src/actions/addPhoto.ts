import type { Result } from "../local/result";
import { uuid7 } from "../local/uuid7";
import type { PreparedPhoto } from "../photo/prepare";
import type { PhotoAddFields, PhotoOwner } from "./fields";
import { type Deed, write } from "./write";

export type AddPhoto = WithPhotos & {
  jobId: string;
  draftKey?: string;
} & ({ issueId: string } | { readingId: string } | { unitId: string });

/**
 * Put a photo, or several in the one write, to an issue, a reading or a unit.
 *
 * With no signal the photo is on this phone, its small picture shows at once, and the bytes follow
 * after all words have been sent. The server may later refuse a file that is not the picture it was
 * announced to be, or one for a row that the person may not change; the photo then stays here.
 */
export async function addPhoto(what: AddPhoto): Promise<Result> {
  const deeds = photoDeeds(what, ownerOf(what));
  return await write({ jobId: what.jobId, deeds, draftKey: what.draftKey });
}

function ownerOf(what: AddPhoto): PhotoOwner {
  if ("issueId" in what) {
    return { issue_id: what.issueId };
  }
  return "readingId" in what ? { reading_id: what.readingId } : { unit_id: what.unitId };
}

/** The mutation that announces a photo; its bytes are saved beside it and sent later. */
export function photoDeed(photo: PreparedPhoto, owner: PhotoOwner): Deed {
  const { sha256, size_bytes, width_px, height_px, taken_at, marks = [] } = photo;
  const facts = { sha256, size_bytes, width_px, height_px, taken_at, marks };
  const fields: PhotoAddFields = { ...owner, ...facts };
  return { type: "photo.add", entity: uuid7(), fields, photo };
}

/** What an action takes when photos may come with it: all in the one write. */
export type WithPhotos = { photo?: PreparedPhoto | undefined; photos?: PreparedPhoto[] };

export function photoDeeds({ photo, photos = [] }: WithPhotos, owner: PhotoOwner): Deed[] {
  return [...(photo ? [photo] : []), ...photos].map((one) => photoDeed(one, owner));
}
