// The built-in map tiles: one file, of which only the parts that are seen are read.
import { PMTiles, Protocol } from "pmtiles";

export const worldAddress = new URL("/basemap/world.pmtiles", location.href).href;
export const world = new PMTiles(worldAddress);

const protocol = new Protocol();
protocol.add(world);
export const readTile = protocol.tile;

/** Whose data the tiles hold, as the file itself says. @returns {Promise<string>} */
export async function attribution() {
  const about = /** @type {{ attribution?: string }} */ (await world.getMetadata());
  return about.attribution ?? "";
}
