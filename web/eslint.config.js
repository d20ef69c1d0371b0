import js from "@eslint/js";
import ts from "typescript-eslint";

export default ts.config(
  { ignores: ["src/contract.ts"] },
  js.configs.recommended,
  ...ts.configs.strict,
  {
    rules: {
      "max-lines": ["error", 300],
      "max-lines-per-function": ["error", 50],
      "no-restricted-properties": ["error", { property: "innerHTML" }, { property: "outerHTML" }],
      "no-restricted-syntax": [
        "error",
        { selector: "JSXAttribute[name.name='dangerouslySetInnerHTML']", message: "Text goes in as text." },
      ],
    },
  },
);
