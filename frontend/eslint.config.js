// Lint rules: eslint's recommended set, small functions, and the direction of imports.
// pages -> components, charts, state, api, lib; components -> components, state, lib; lib and charts' layouts are pure.
import js from "@eslint/js";
import globals from "globals";

/**
 * Forbid imports from the named neighbouring folders.
 * @param {string[]} folders
 * @param {string} message
 * @returns {import("eslint").Linter.RuleEntry}
 */
function barred(folders, message) {
  return ["error", { patterns: [{ group: folders.map((folder) => `**/${folder}/**`), message }] }];
}

const ONLY_API_FETCHES = { name: "fetch", message: "Only app/api talks to the service." };

/** @type {import("eslint").Linter.Config[]} */
export default [
  { ignores: ["vendor/**", "node_modules/**"] },
  js.configs.recommended,
  {
    files: ["app/**/*.js"],
    languageOptions: { globals: globals.browser },
    rules: {
      eqeqeq: "error",
      "no-var": "error",
      "prefer-const": "error",
      "max-lines": ["error", { max: 300 }],
      "max-lines-per-function": ["error", { max: 60 }],
      complexity: ["error", 14],
      "no-restricted-globals": ["error", ONLY_API_FETCHES],
      "no-restricted-syntax": [
        "error",
        { selector: "ExportDefaultDeclaration", message: "Named exports only." },
        { selector: "MemberExpression[property.name='innerHTML']", message: "Trusted Types forbid it." },
      ],
      "no-restricted-imports": barred(["pages"], "Only routes.js loads pages."),
    },
  },
  { files: ["app/api/**/*.js"], rules: { "no-restricted-globals": "off" } },
  {
    files: ["app/lib/**/*.js"],
    rules: {
      "no-restricted-imports": barred(["pages", "components", "charts", "state", "api"], "lib is pure."),
    },
  },
  {
    files: ["app/charts/**/*.js"],
    rules: { "no-restricted-imports": barred(["pages", "components", "state", "api"], "Charts draw values.") },
  },
  {
    files: ["app/components/**/*.js"],
    rules: { "no-restricted-imports": barred(["pages", "api"], "Components are shared and fetch nothing.") },
  },
  {
    files: ["app/state/**/*.js", "app/api/**/*.js"],
    rules: { "no-restricted-imports": barred(["pages", "components", "charts"], "State knows no screen.") },
  },
  { files: ["app/routes.js"], rules: { "no-restricted-imports": "off" } },
  { files: ["tests/**/*.js", "tools/**/*.mjs"], languageOptions: { globals: { ...globals.node, ...globals.browser } } },
];
