/** A photo from the camera, as it is kept and sent: upright, and no larger than an inspector needs. */
import { sha256 } from "#tablet/digests.js";
import { JPEG_QUALITY, MOST_BYTES, sizeWithin, staysAsItCame } from "#tablet/photo_size.js";

/** @typedef {{bytes: ArrayBuffer, media_type: string, width: number, height: number, sha256: string}} KeptPhoto */

export class PhotoError extends Error {
  /**
   * @param {string} code
   * @param {string} sentence
   * @param {unknown} [cause]
   */
  constructor(code, sentence, cause) {
    super(sentence, { cause });
    this.name = "PhotoError";
    this.code = code;
  }
}

/**
 * Return a photo as it is kept. One that the browser cannot draw stays as it came, width and height 0.
 *
 * @param {Blob} file
 * @returns {Promise<KeptPhoto>}
 */
export async function shrinkPhoto(file) {
  if (!file.size) throw new PhotoError("photo_empty", "No photo arrived. Take it again.");
  const media_type = file.type || "application/octet-stream";
  const bitmap = await drawn(file);
  if (!bitmap) return asItCame(file, { media_type, width: 0, height: 0 });
  try {
    const { width, height } = bitmap;
    if (staysAsItCame({ width, height, media_type, size: file.size })) {
      return await asItCame(file, { media_type, width, height });
    }
    const size = sizeWithin(width, height);
    const bytes = await (await asJpeg(bitmap, size)).arrayBuffer();
    return { bytes, media_type: "image/jpeg", ...size, sha256: await sha256(bytes) };
  } finally {
    bitmap.close();
  }
}

/**
 * @param {Blob} file
 * @returns {Promise<ImageBitmap | null>} null where the browser cannot draw it, such as HEIC
 */
async function drawn(file) {
  try {
    return await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    return null;
  }
}

/**
 * @param {Blob} file
 * @param {{media_type: string, width: number, height: number}} about
 * @returns {Promise<KeptPhoto>}
 */
async function asItCame(file, about) {
  if (file.size > MOST_BYTES) {
    const most = MOST_BYTES / (1024 * 1024);
    throw new PhotoError("photo_too_big",
      `The photo is larger than ${most} MB. Set the camera to a smaller picture and take it again.`);
  }
  let bytes;
  try {
    bytes = await file.arrayBuffer();
  } catch (error) {
    throw new PhotoError("photo_unreadable", "The tablet could not read the photo. Take it again.", error);
  }
  return { bytes, ...about, sha256: await sha256(bytes) };
}

/**
 * @param {ImageBitmap} bitmap
 * @param {{width: number, height: number}} size
 * @returns {Promise<Blob>}
 */
async function asJpeg(bitmap, { width, height }) {
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  const paper = canvas.getContext("2d");
  if (!paper) throw notDrawn();
  // JPEG has no see-through: what was is shown on white, as everywhere else.
  paper.fillStyle = "#fff";
  paper.fillRect(0, 0, width, height);
  paper.imageSmoothingQuality = "high";
  paper.drawImage(bitmap, 0, 0, width, height);
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", JPEG_QUALITY));
  if (!blob) throw notDrawn();
  return blob;
}

function notDrawn() {
  return new PhotoError("photo_not_drawn", "The tablet has no room to make the photo smaller. Close other pages and"
    + " take it again.");
}
