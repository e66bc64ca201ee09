// What is typed and not yet saved outlives a reload.

/** @param {string} id @returns {Record<string, string>} text by key */
export function keptDraft(id) {
  try {
    return JSON.parse(sessionStorage.getItem(`pappus.plan.${id}`) ?? "{}");
  } catch {
    return {}; // storage is refused: the draft lasts as long as the page
  }
}

/** @param {string} id @param {Record<string, string>} draft */
export function keepDraft(id, draft) {
  try {
    if (Object.keys(draft).length > 0) sessionStorage.setItem(`pappus.plan.${id}`, JSON.stringify(draft));
    else sessionStorage.removeItem(`pappus.plan.${id}`);
  } catch {
    // as above
  }
}

/** @param {string} id */
export const dropDraft = (id) => keepDraft(id, {});
