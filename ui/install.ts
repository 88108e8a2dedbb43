import { readFileSync } from "node:fs";
import { crc32, deflateSync } from "node:zlib";

/**
 * What a phone needs to put the pages on its home screen: the manifest, and the mark as PNG, drawn
 * from public/mark.svg. Colours are those of the tokens.
 */
export interface Made {
  name: string;
  source: string | Uint8Array;
}

type Colour = readonly [number, number, number];
interface Bar {
  x: number;
  y: number;
  width: number;
  height: number;
  colour: Colour;
}

const SIZES = [180, 192, 512];
/** How much of an icon the mark fills where a system may cut its corners and edges off. */
const SAFE = 0.7;
const VIEW = 64;

export function installed(): Made[] {
  const paper = token("paper");
  const bars = barsOf(readFileSync("public/mark.svg", "utf8"));
  const icons = SIZES.map((size) => ({ name: `icon-${size}.png`, source: picture(size, bars, paper, 1) }));
  const cut = { name: "icon-512-cut.png", source: picture(512, bars, paper, SAFE) };
  const manifest = { name: "fencerow.webmanifest", source: manifestOf(hex(paper)) };
  return [...icons, cut, manifest];
}

function manifestOf(paper: string): string {
  const png = (src: string, size: number, purpose: string) => ({ src, sizes: `${size}x${size}`, type: "image/png", purpose });
  return JSON.stringify({
    id: "/",
    name: "Fencerow",
    short_name: "Fencerow",
    description: "Plan a year on hunting ground for white-tailed deer.",
    lang: "en",
    start_url: "/",
    scope: "/",
    display: "standalone",
    background_color: paper,
    theme_color: paper,
    icons: [
      png("/icon-192.png", 192, "any"),
      png("/icon-512.png", 512, "any"),
      png("/icon-512-cut.png", 512, "maskable"),
      { src: "/mark.svg", sizes: "any", type: "image/svg+xml" },
    ],
  });
}

/** A colour of the tokens, as paper by day. */
function token(name: string): Colour {
  const found = new RegExp(`--${name}: (#[0-9a-f]{6});`).exec(readFileSync("src/styles/tokens.css", "utf8"));
  if (found?.[1] === undefined) throw new Error(`tokens.css has no --${name}`);
  return colourOf(found[1]);
}

function colourOf(text: string): Colour {
  const at = (from: number): number => parseInt(text.slice(from, from + 2), 16);
  return [at(1), at(3), at(5)];
}

const hex = (colour: Colour): string => `#${colour.map((part) => part.toString(16).padStart(2, "0")).join("")}`;

/** The mark's strokes, which run upright or level, as bars; in the order in which they are drawn. */
function barsOf(svg: string): Bar[] {
  return [...svg.matchAll(/d="([^"]+)" stroke="(#[0-9A-Fa-f]{6})" stroke-width="(\d+)"/g)].flatMap(([, d, colour, stroke]) =>
    [...d!.matchAll(/M(\d+) (\d+)([vh])(\d+)/g)].map(([, x, y, way, long]) => {
      const [half, length] = [Number(stroke) / 2, Number(long)];
      const upright = way === "v";
      return {
        x: Number(x) - (upright ? half : 0),
        y: Number(y) - (upright ? 0 : half),
        width: upright ? 2 * half : length,
        height: upright ? length : 2 * half,
        colour: colourOf(colour!),
      };
    }),
  );
}

/** The mark on paper as an RGB PNG; `fill` is the part of the square that the mark's own takes. */
function picture(size: number, bars: Bar[], paper: Colour, fill: number): Uint8Array {
  const rows = Buffer.alloc(size * (1 + 3 * size));
  const scale = (size * fill) / VIEW;
  const edge = (at: number): number => Math.round(size / 2 + (at - VIEW / 2) * scale);
  const paint = (left: number, top: number, right: number, bottom: number, colour: Colour): void => {
    for (let y = top; y < bottom; y++) {
      for (let x = left; x < right; x++) rows.set(colour, y * (1 + 3 * size) + 1 + 3 * x);
    }
  };
  paint(0, 0, size, size, paper);
  for (const { x, y, width, height, colour } of bars) paint(edge(x), edge(y), edge(x + width), edge(y + height), colour);
  const head = Buffer.alloc(13);
  head.writeUInt32BE(size, 0);
  head.writeUInt32BE(size, 4);
  head.set([8, 2, 0, 0, 0], 8);
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([signature, chunk("IHDR", head), chunk("IDAT", deflateSync(rows)), chunk("IEND", Buffer.alloc(0))]);
}

function chunk(type: string, data: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, "latin1"), data]);
  const framed = Buffer.alloc(8 + named.length);
  framed.writeUInt32BE(data.length, 0);
  framed.set(named, 4);
  framed.writeUInt32BE(crc32(named), 4 + named.length);
  return framed;
}
