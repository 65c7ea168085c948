/** Keys beside a field write where the cursor stands: fractions and units, which number pads lack. */
document.addEventListener("click", (event) => {
  const key = event.target.closest("[data-writes]");
  if (!key) return;
  const field = document.getElementById(key.dataset.into);
  const from = field.selectionStart ?? field.value.length;
  const to = field.selectionEnd ?? field.value.length;
  const before = field.value.slice(0, from);
  const written = before === "" || before.endsWith(" ") ? key.dataset.writes.trimStart() : key.dataset.writes;
  field.setRangeText(written, from, to, "end");
  field.focus();
});
