/**
 * Hands a text or bytes to the browser as a file to keep. Where it goes is the browser's affair; that it was taken is
 * all that can be known.
 * @param {{name: string, text: string|ArrayBuffer, type?: string}} file
 */
export function saveFile({ name, text, type = "application/json" }) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
