import tseslint from 'typescript-eslint'

export default tseslint.config(
  { ignores: ['dist/', '.build/', '.tap/', 'node_modules/', 'openapi/'] },
  {
    files: ['**/*.ts'],
    extends: [tseslint.configs.strictTypeChecked, tseslint.configs.stylisticTypeChecked],
    languageOptions: { parserOptions: { project: './tsconfig.json' } },
    rules: {
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      '@typescript-eslint/no-floating-promises': 'error',
      'no-console': 'error',
      // Going through a typed array by its iterator takes memory for each number.
      '@typescript-eslint/prefer-for-of': 'off',
    },
  },
  { files: ['**/*.js', '**/*.mjs'], extends: [tseslint.configs.disableTypeChecked] },
)
