/**
 * Hands a text to the browser as a file to keep. Where it goes is the browser's affair; that it was taken is all that can be known.
 * @param {{name: string, text: string}} file
 */
export function saveFile({ name, text }) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
