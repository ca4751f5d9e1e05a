// Keeps the screen on while the page is in sight, where the browser allows it.

/**
 * @param {(isOn: boolean) => void} onChange called when the screen is kept on, and no longer
 * @returns {{request: () => void, stop: () => void}}
 */
export function keepAwake(onChange) {
  /** @type {WakeLockSentinel | null} */
  let lock = null;
  let isRequested = false;

  async function request() {
    const isPossible = "wakeLock" in navigator && document.visibilityState === "visible";
    if (lock || isRequested || !isPossible) return;
    isRequested = true;
    try {
      lock = await navigator.wakeLock.request("screen");
      onChange(true);
      lock.addEventListener("release", () => {
        lock = null;
        onChange(false);
      });
    } catch {
      onChange(false);
    } finally {
      isRequested = false;
    }
  }

  // Browsers release the lock when the page is hidden.
  const onVisible = () => void request();
  document.addEventListener("visibilitychange", onVisible);
  return {
    request: () => void request(),
    stop() {
      document.removeEventListener("visibilitychange", onVisible);
      void lock?.release();
    },
  };
}
