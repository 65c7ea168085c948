import assert from "node:assert/strict";
import { test } from "node:test";
import { digestField, sha256 } from "#tablet/digests.js";
import { shrinkPhoto } from "#tablet/photo.js";
import { sizeWithin, staysAsItCame } from "#tablet/photo_size.js";

const JPEG = { media_type: "image/jpeg", width: 2560, height: 1920, size: 900_000 };

test("the longest side of a photo is 2560 px and its proportion stays", () => {
  assert.deepEqual(sizeWithin(4032, 3024), { width: 2560, height: 1920 });
  assert.deepEqual(sizeWithin(3024, 4032), { width: 1920, height: 2560 });
  assert.deepEqual(sizeWithin(30000, 3), { width: 2560, height: 1 });
});

test("a small photo is not made larger", () => {
  assert.deepEqual(sizeWithin(640, 480), { width: 640, height: 480 });
});

test("a photo that is small enough stays as it came", () => {
  assert.equal(staysAsItCame(JPEG), true);
  assert.equal(staysAsItCame({ ...JPEG, width: 2561 }), false);
  assert.equal(staysAsItCame({ ...JPEG, height: 2561 }), false);
  assert.equal(staysAsItCame({ ...JPEG, media_type: "image/webp" }), true);
  assert.equal(staysAsItCame({ ...JPEG, media_type: "image/gif" }), false);
  assert.equal(staysAsItCame({ ...JPEG, size: 26 * 1024 * 1024 }), false);
});

test("a photo the browser cannot draw stays as it came", async () => {
  const file = new Blob(["abc"], { type: "image/heic" });
  // FIPS 180-2, appendix B.1: the digest of "abc"
  const digest = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
  const { bytes, ...about } = await shrinkPhoto(file);
  assert.deepEqual(about, { media_type: "image/heic", width: 0, height: 0, sha256: digest });
  assert.equal(bytes.byteLength, 3);
});

test("an empty photo and one that is too large are refused in words", async () => {
  await assert.rejects(shrinkPhoto(new Blob([])), { code: "photo_empty", message: "No photo arrived. Take it again." });
  const large = new Blob([new Uint8Array(25 * 1024 * 1024 + 1)], { type: "image/heic" });
  await assert.rejects(shrinkPhoto(large), { code: "photo_too_big", message: /25 MB/ });
});

test("a photo that cannot be read is refused in words", async () => {
  const file = new Blob(["abc"]);
  file.arrayBuffer = () => Promise.reject(new DOMException("Gone", "NotReadableError"));
  await assert.rejects(shrinkPhoto(file), { code: "photo_unreadable" });
});

test("a digest is written as RFC 9530 has it", async () => {
  // RFC 9530, appendix B.1: the digest of {"hello": "world"} and a line feed
  const hexadecimal = await sha256(new TextEncoder().encode('{"hello": "world"}\n').buffer);
  assert.equal(digestField(hexadecimal), "sha-256=:RK/0qy18MlBSVnWgjwz6lZEWjP/lF5HF9bvEF8FabDg=:");
});
