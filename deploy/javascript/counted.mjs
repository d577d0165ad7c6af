// How many type errors each folder has, held against how many it may have.

export const NOTED = "deploy/javascript/errors-left.json";

/**
 * Names the folders whose number differs, with a sentence on what to do.
 * @param {Record<string, number>} found
 * @param {Record<string, number>} noted a folder that is missing may have none
 * @returns {{folder: string, sentence: string}[]} in alphabetical order
 */
export function differing(found, noted) {
  const folders = [...new Set([...Object.keys(noted), ...Object.keys(found)])].sort();
  return folders.flatMap((folder) => {
    const sentence = sentenceOn(folder, found[folder] ?? 0, noted[folder] ?? 0);
    return sentence ? [{ folder, sentence }] : [];
  });
}

function sentenceOn(folder, found, noted) {
  const list = `\`node deploy/javascript/types.mjs ${folder}\` lists them all`;
  if (found > noted) return `${folder}: ${found} type errors, and ${noted} are allowed. Mend what was added; ${list}.`;
  if (found === noted) return "";
  const how = found ? `Write ${found} into` : "Take its line out of";
  return `${folder}: ${found} type errors are left of ${noted}. ${how} ${NOTED}, so that they never become more again.`;
}
