/** Whether a picture of the land lies under the map: off until switched on, and kept on this device. */
const KEY = "map-picture";

class Picture {
  on = $state(false);

  constructor() {
    try {
      this.on = localStorage.getItem(KEY) === "yes";
    } catch {
      // storage may be shut: then it is off
    }
  }

  set(on: boolean): void {
    this.on = on;
    try {
      if (on) localStorage.setItem(KEY, "yes");
      else localStorage.removeItem(KEY);
    } catch {
      // it then lasts as long as the page
    }
  }
}

export const picture = new Picture();
