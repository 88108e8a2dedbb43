/** Pictures of the land as tiles of the web's map, laid on our sheet by their corners. */
import type { LonLat } from "../../lib/earth";

/** The national map's own pictures: public domain. The only place from which a picture is asked for. */
const SERVICE = "https://basemap.nationalmap.gov/arcgis/rest/services/USGSImageryOnly/MapServer/tile";
const NEAREST = 16;
const MOST = 48;
/** Yards under one pixel of the single tile that holds the earth, at the equator. */
const WIDEST = (2 * Math.PI * 6_378_137) / 256 / 0.9144;

export interface Tile {
  url: string;
  northWest: LonLat;
  southEast: LonLat;
}

/** The tiles that cover a part of the earth, fine enough for the screen, and not too many. */
export function tilesOf([west, north]: LonLat, [east, south]: LonLat, yardsAPixel: number): Tile[] {
  const lat = (north + south) / 2;
  const wanted = Math.ceil(Math.log2((WIDEST * Math.cos((lat * Math.PI) / 180)) / yardsAPixel));
  for (let z = Math.min(NEAREST, Math.max(0, wanted)); z >= 0; z--) {
    const [left, top] = tileAt([west, north], z).map(Math.floor) as [number, number];
    const [right, bottom] = tileAt([east, south], z).map(Math.floor) as [number, number];
    if ((right - left + 1) * (bottom - top + 1) > MOST) continue;
    const tiles: Tile[] = [];
    for (let y = top; y <= bottom; y++) for (let x = left; x <= right; x++) tiles.push(tile(z, x, y));
    return tiles;
  }
  return [];
}

function tile(z: number, x: number, y: number): Tile {
  return { url: `${SERVICE}/${z}/${y}/${x}`, northWest: cornerOf(x, y, z), southEast: cornerOf(x + 1, y + 1, z) };
}

/** Where a point lies among the tiles of a zoom: whole numbers are their north-west corners. */
export function tileAt([lon, lat]: LonLat, z: number): [number, number] {
  const across = 2 ** z;
  const y = Math.asinh(Math.tan((lat * Math.PI) / 180)) / Math.PI;
  return [((lon + 180) / 360) * across, ((1 - y) / 2) * across];
}

/** The point of the earth at a place among the tiles. */
export function cornerOf(x: number, y: number, z: number): LonLat {
  const across = 2 ** z;
  return [(x / across) * 360 - 180, (Math.atan(Math.sinh(Math.PI * (1 - (2 * y) / across))) * 180) / Math.PI];
}
