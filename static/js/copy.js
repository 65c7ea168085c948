/** Buttons with data-copy="id" copy that field and say so. */
for (const button of document.querySelectorAll("[data-copy]")) {
  button.addEventListener("click", async () => {
    const field = document.getElementById(button.dataset.copy);
    const before = button.textContent;
    field.select();
    try {
      await navigator.clipboard.writeText(field.value);
      button.textContent = button.dataset.done;
    } catch {
      // Without a secure context there is no clipboard; the text stays selected for the keyboard.
      button.textContent = "Press Ctrl+C";
    }
    setTimeout(() => { button.textContent = before; }, 2500);
  });
}
