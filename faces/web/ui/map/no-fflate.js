// Stands in for a library that pmtiles calls only in browsers without
// DecompressionStream, which no browser that runs this app lacks.

/** @returns {never} */
export function decompressSync() {
  throw new Error("this browser cannot unpack map tiles: use a newer one");
}
