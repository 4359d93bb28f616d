// Runs checks by their names, one line each with its figures below; the last line says how many passed and failed.

export const words = (name) => name.replace(/[A-Z]/g, (sign) => ` ${sign.toLowerCase()}`);

// Each check throws, or gives its figures.
export async function runAll(checks) {
  let [passed, failed] = [0, 0];
  for (const [name, check] of checks) {
    try {
      const figures = await check();
      passed += 1;
      console.log(`ok      ${words(name)}\n        ${figures.replaceAll('\n', '\n        ')}`);
    } catch (error) {
      failed += 1;
      console.log(`FAILED  ${words(name)}\n        ${error.message.split('\n').join('\n        ')}`);
    }
  }
  console.log(`${passed} passed, ${failed} failed`);
  process.exitCode = failed === 0 ? 0 : 1;
}
