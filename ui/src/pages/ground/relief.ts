/** The ground's relief, asked for once for each time the page opens; a map without it still works. */
import { ask } from "../../lib/api";

export interface Relief {
  bounds: [number, number, number, number];
  image: string;
  contours: {
    features: {
      properties: { feet: number; index: boolean };
      geometry: { type: string; coordinates: unknown };
    }[];
  };
}

export const askRelief = (): Promise<Relief | null> => ask<Relief>("relief.json").catch(() => null);
