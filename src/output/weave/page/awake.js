// Keeps the screen on while the page is seen, where the browser allows it.

/**
 * @param {(on: boolean) => void} tell called when the screen begins or ceases to be kept on
 * @returns {{ask: () => void, stop: () => void}}
 */
export function awake(tell) {
  /** @type {WakeLockSentinel | null} */
  let lock = null;
  let asking = false;

  async function ask() {
    if (lock || asking || !("wakeLock" in navigator) || document.visibilityState !== "visible") return;
    asking = true;
    try {
      lock = await navigator.wakeLock.request("screen");
      tell(true);
      lock.addEventListener("release", () => {
        lock = null;
        tell(false);
      });
    } catch {
      tell(false);
    } finally {
      asking = false;
    }
  }

  // Browsers take the lock back when the page is hidden.
  const seen = () => void ask();
  document.addEventListener("visibilitychange", seen);
  return {
    ask: () => void ask(),
    stop() {
      document.removeEventListener("visibilitychange", seen);
      void lock?.release();
    },
  };
}
