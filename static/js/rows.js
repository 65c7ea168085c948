/** Buttons with data-add-row="prefix" add an empty row to the formset of that prefix. */
document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-add-row]");
  if (!button) return;
  const prefix = button.dataset.addRow;
  const total = document.getElementById(`id_${prefix}-TOTAL_FORMS`);
  const blank = document.getElementById(`${prefix}-empty`);
  const rows = document.getElementById(`${prefix}-rows`);
  const number = Number(total.value);
  rows.insertAdjacentHTML("beforeend", blank.innerHTML.replaceAll("__prefix__", String(number)));
  total.value = String(number + 1);
  rows.lastElementChild.querySelector("input:not([type=hidden]), select")?.focus();
});
