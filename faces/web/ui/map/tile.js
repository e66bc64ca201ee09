// Reads a vector tile (version 2): only what our own tiles have in them.

/**
 * @typedef {object} Feature
 * @property {number[][]} paths x and y in turn, as shares of the tile's side
 * @property {string} name
 * @property {number} people
 */

class Reader {
  /** @param {Uint8Array} bytes */
  constructor(bytes) {
    this.bytes = bytes;
    this.at = 0;
  }

  more() {
    return this.at < this.bytes.length;
  }

  varint() {
    let value = 0;
    let scale = 1;
    for (;;) {
      const byte = this.bytes[this.at++] ?? 0;
      value += (byte & 0x7f) * scale;
      if (byte < 0x80) return value;
      scale *= 128;
    }
  }

  chunk() {
    const length = this.varint();
    this.at += length;
    return this.bytes.subarray(this.at - length, this.at);
  }

  /** Calls take with each field's number, and with its bytes or its whole number. @param {(field: number, value: any) => void} take */
  each(take) {
    while (this.more()) {
      const tag = this.varint();
      take(tag >> 3, (tag & 7) === 2 ? this.chunk() : this.varint());
    }
  }
}

/** @param {Uint8Array} bytes */
const text = (bytes) => new TextDecoder().decode(bytes);

/** @param {Uint8Array} bytes @param {number} extent */
function paths(bytes, extent) {
  const reader = new Reader(bytes);
  /** @type {number[][]} */
  const all = [];
  let x = 0;
  let y = 0;
  const step = () => {
    const v = reader.varint();
    return v % 2 === 0 ? v / 2 : -(v + 1) / 2;
  };
  while (reader.more()) {
    const command = reader.varint();
    const id = command & 7;
    if (id === 7) continue; // close the ring
    for (let n = command >> 3; n > 0; n--) {
      x += step();
      y += step();
      if (id === 1) all.push([]);
      all.at(-1)?.push(x / extent, y / extent);
    }
  }
  return all;
}

/** @param {ArrayBuffer} data @returns {Map<string, Feature[]>} */
export function readLayers(data) {
  const layers = new Map();
  new Reader(new Uint8Array(data)).each((field, bytes) => {
    if (field === 3) {
      const { name, features } = readLayer(bytes);
      layers.set(name, features);
    }
  });
  return layers;
}

/** @param {Uint8Array} bytes */
function readLayer(bytes) {
  let name = "";
  let extent = 4096;
  /** @type {string[]} */
  const keys = [];
  /** @type {(string | number)[]} */
  const values = [];
  /** @type {Uint8Array[]} */
  const raw = [];
  new Reader(bytes).each((field, value) => {
    if (field === 1) name = text(value);
    if (field === 2) raw.push(value);
    if (field === 3) keys.push(text(value));
    if (field === 4) new Reader(value).each((kind, v) => values.push(kind === 1 ? text(v) : v));
    if (field === 5) extent = value;
  });
  const features = raw.map((feature) => {
    /** @type {Record<string, string | number>} */
    const tags = {};
    /** @type {number[][]} */
    let drawn = [];
    new Reader(feature).each((field, value) => {
      if (field === 2) {
        const reader = new Reader(value);
        while (reader.more()) tags[keys[reader.varint()] ?? ""] = values[reader.varint()] ?? "";
      }
      if (field === 4) drawn = paths(value, extent);
    });
    return { paths: drawn, name: String(tags.name ?? ""), people: Number(tags.people ?? 0) };
  });
  return { name, features };
}
