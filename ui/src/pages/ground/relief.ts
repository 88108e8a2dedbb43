/** The ground's relief, asked for once for each time the page opens; a map without it still works. */
import { get } from "../../lib/api";
import type { Relief as Said } from "../../lib/form";

export interface Relief extends Omit<Said, "bounds" | "contours"> {
  bounds: [number, number, number, number];
  contours: {
    features: {
      properties: { feet: number; index: boolean };
      geometry: { type: string; coordinates: unknown };
    }[];
  };
}

export const askRelief = (): Promise<Relief | null> =>
  get("/api/relief.json").then((r) => r as Relief, () => null);
