// A thread that never answers, for the test of who ends it.

export default function answer(): never {
  for (;;);
}
