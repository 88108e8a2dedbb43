/** Whether this device has shown what the page is; kept on the device alone. */
const KEY = "shown";

function kept(): boolean {
  try {
    return localStorage.getItem(KEY) !== null;
  } catch {
    return true;
  }
}

class Shown {
  /** Whether the first words stand on the page. */
  open = $state(!kept());
  /** Whether the person asked for them again. */
  asked = false;

  put(open: boolean): void {
    this.open = this.asked = open;
    try {
      if (open) localStorage.removeItem(KEY);
      else localStorage.setItem(KEY, "1");
    } catch {
      // a browser that keeps nothing shows them again next time
    }
  }
}

export const shown = new Shown();
