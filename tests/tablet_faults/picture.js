/** Small pictures that are real ones, each like no other. */
import { createHash } from "node:crypto";
import { crc32, deflateSync } from "node:zlib";

const SIGNATURE = Buffer.from("89504e470d0a1a0a", "hex");

/**
 * Return a PNG of noise.
 *
 * @param {import("./chance.js").Chance} chance
 * @returns {Uint8Array<ArrayBuffer>}
 */
export function picture(chance) {
  const [width, height] = [chance.between(20, 60), chance.between(20, 60)];
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 2], 8);
  const rows = Buffer.alloc(height * (1 + width * 3)).map(() => chance.between(0, 255));
  for (let row = 0; row < height; row += 1) rows[row * (1 + width * 3)] = 0;
  const parts = [SIGNATURE, chunk("IHDR", head), chunk("IDAT", deflateSync(rows)), chunk("IEND", Buffer.alloc(0))];
  return new Uint8Array(Buffer.concat(parts));
}

/** @param {string} name @param {Buffer} content */
function chunk(name, content) {
  const named = Buffer.concat([Buffer.from(name, "latin1"), content]);
  const [length, check] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(content.length);
  check.writeUInt32BE(crc32(named));
  return Buffer.concat([length, named, check]);
}

/** What the app makes of a photo from the camera, where there is no browser to draw it. @param {Blob} file */
export async function keepPhoto(file) {
  const bytes = await file.arrayBuffer();
  const sha256 = createHash("sha256").update(new Uint8Array(bytes)).digest("hex");
  return { bytes, media_type: "image/png", width: 0, height: 0, sha256 };
}
