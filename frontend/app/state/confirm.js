/** One question at a time, answered in a dialog. */
import { signal } from "@preact/signals";

/**
 * @typedef {object} Question
 * @property {string} title
 * @property {string} text
 * @property {string} action the button that goes ahead
 * @property {string} [stay] the button that does not
 */

/** @type {import("@preact/signals").Signal<(Question & { answer: (isYes: boolean) => void }) | null>} */
export const question = signal(null);

/**
 * Ask, and wait for the answer.
 * @param {Question} asked
 * @returns {Promise<boolean>}
 */
export function askConfirm(asked) {
  question.value?.answer(false);
  return new Promise((resolve) => {
    question.value = {
      ...asked,
      answer: (isYes) => {
        question.value = null;
        resolve(isYes);
      },
    };
  });
}
