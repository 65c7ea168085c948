import assert from "node:assert/strict";
import { test } from "node:test";

import { Drafts } from "#tablet/parts/drafts.js";
import { StoreError } from "#tablet/store_error.js";

test("what was typed stays until it is saved", async () => {
  const drafts = new Drafts();
  drafts.setText("a", "22 1/2");
  const refused = await drafts.during("a", async () => {
    throw new StoreError("tablet_full", "This tablet is full.");
  });
  assert.equal(refused, false);
  assert.equal(drafts.text("a"), "22 1/2");
  assert.equal(drafts.refusal("a"), "This tablet is full.");
  assert.equal(drafts.any(), true);
  assert.equal(await drafts.during("a", async () => {}), true);
  assert.equal(drafts.text("a"), "");
  assert.equal(drafts.refusal("a"), "");
  assert.equal(drafts.any(), false);
});

test("a button pressed twice does its work once", async () => {
  const drafts = new Drafts();
  let times = 0;
  /** @type {() => void} */
  let end = () => {};
  const first = drafts.during("a", () => new Promise((resolve) => {
    times += 1;
    end = resolve;
  }));
  assert.equal(drafts.busy("a"), true);
  assert.equal(await drafts.during("a", async () => { times += 1; }), false);
  end();
  assert.equal(await first, true);
  assert.equal(times, 1);
  assert.equal(drafts.busy("a"), false);
});

test("a photo that could not be saved is kept, and leaving would lose it", async () => {
  const drafts = new Drafts();
  const file = new File(["x"], "camera.jpg");
  drafts.setFile("a", file);
  await drafts.during("a", async () => { throw new StoreError("tablet_full", "Full."); });
  assert.equal(drafts.file("a"), file);
  assert.equal(drafts.any(), true);
  drafts.drop("a");
  assert.equal(drafts.any(), false);
});

test("an empty field and a cleared box are nothing to lose", () => {
  const drafts = new Drafts();
  drafts.setText("a", "x");
  drafts.setText("a", "");
  drafts.setInk("b", true);
  drafts.setInk("b", false);
  assert.equal(drafts.any(), false);
});
