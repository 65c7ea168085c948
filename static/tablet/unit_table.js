// Written by `python -m calcs units --javascript`; a test compares. Change calcs, not this.

/**
 * @typedef {[factor: number, offset: number]} Scale SI is what is written * factor + offset
 * @typedef {{scale: Scale, label: string, decimals: number}} Shown
 * @typedef {object} Kind
 * @property {string} example
 * @property {number | null} least In SI
 * @property {Record<string, Scale>} written By spelling, without spaces, dots and degree signs
 * @property {Record<string, Shown>} shown By system
 */

/** Metres in a unit, as decimals. @type {Record<string, string>} */
export const METRES = { in: "0.0254", ft: "0.3048", mm: "0.001", cm: "0.01", m: "1.0" };

/** Spellings of units of length. @type {Record<string, string>} */
export const UNIT_WORDS = {
  in: "in",
  "in.": "in",
  inch: "in",
  inches: "in",
  "\"": "in",
  ft: "ft",
  "ft.": "ft",
  foot: "ft",
  feet: "ft",
  "'": "ft",
  mm: "mm",
  millimetre: "mm",
  millimetres: "mm",
  millimeter: "mm",
  millimeters: "mm",
  cm: "cm",
  centimetre: "cm",
  centimetres: "cm",
  centimeter: "cm",
  centimeters: "cm",
  m: "m",
  metre: "m",
  metres: "m",
  meter: "m",
  meters: "m",
};

/** Fractions of one sign. @type {Record<string, string>} */
export const FRACTIONS = {
  "\u00bd": "1/2",
  "\u2153": "1/3",
  "\u2154": "2/3",
  "\u00bc": "1/4",
  "\u00be": "3/4",
  "\u2155": "1/5",
  "\u2156": "2/5",
  "\u2157": "3/5",
  "\u2158": "4/5",
  "\u2159": "1/6",
  "\u215a": "5/6",
  "\u215b": "1/8",
  "\u215c": "3/8",
  "\u215d": "5/8",
  "\u215e": "7/8",
};

/** Signs read as plainer ones. @type {Record<string, string>} */
export const SIGNS = {
  "\u2032": "'",
  "\u02b9": "'",
  "\u2019": "'",
  "\u2018": "'",
  "\u00b4": "'",
  "`": "'",
  "\u2033": "\"",
  "\u02ba": "\"",
  "\u201c": "\"",
  "\u201d": "\"",
  "\u2212": "-",
  "\u2013": "-",
  "\u2010": "-",
  "\u2011": "-",
  "\u2044": "/",
  "\u2215": "/",
  "\u00a0": " ",
  "\u202f": " ",
  "\u2009": " ",
  "\t": " ",
};

/** Beyond any building, in metres. @type {number} */
export const LONGEST = 10000.0;

/** Characters of one figure. @type {number} */
export const LONGEST_TEXT = 60;

/** Units whose figures are grouped by commas. @type {string[]} */
export const GROUPED = ["btu/h", "btu/hr", "btuh", "btu/hour"];

/** Kinds without units of their own. @type {string[]} */
export const OTHER_KINDS = ["length", "ratio", "percent", "count", "slope"];

/** Kinds of quantity. @type {Record<string, Kind>} */
export const KINDS = {
  draft: {
    example: "12 Pa, 1.2 mm H2O or 0.05 in w.c.",
    least: null,
    written: {
      pa: [1.0, 0.0],
      hpa: [100.0, 0.0],
      kpa: [1000.0, 0.0],
      mbar: [100.0, 0.0],
      mmh2o: [9.80665, 0.0],
      mmwc: [9.80665, 0.0],
      mmwg: [9.80665, 0.0],
      mmws: [9.80665, 0.0],
      inh2o: [249.08890999999997, 0.0],
      inwc: [249.08890999999997, 0.0],
      inwg: [249.08890999999997, 0.0],
      iwc: [249.08890999999997, 0.0],
      wc: [249.08890999999997, 0.0],
      "\"wc": [249.08890999999997, 0.0],
      "\"wg": [249.08890999999997, 0.0],
    },
    shown: {
      metric: { scale: [1.0, 0.0], label: "Pa", decimals: 1 },
      imperial: { scale: [249.08890999999997, 0.0], label: "in w.c.", decimals: 3 },
    },
  },
  concentration: {
    example: "3 ppm",
    least: 0.0,
    written: { ppm: [1.0, 0.0] },
    shown: {
      metric: { scale: [1.0, 0.0], label: "ppm", decimals: 0 },
      imperial: { scale: [1.0, 0.0], label: "ppm", decimals: 0 },
    },
  },
  temperature: {
    example: "250 C or 480 F",
    least: -273.15,
    written: {
      c: [1.0, 0.0],
      degc: [1.0, 0.0],
      celsius: [1.0, 0.0],
      f: [0.5555555555555557, -17.777777777777743],
      degf: [0.5555555555555557, -17.777777777777743],
      fahrenheit: [0.5555555555555557, -17.777777777777743],
      k: [1.0, -273.15],
      kelvin: [1.0, -273.15],
    },
    shown: {
      metric: { scale: [1.0, 0.0], label: "\u00b0C", decimals: 0 },
      imperial: { scale: [0.5555555555555557, -17.777777777777743], label: "\u00b0F", decimals: 0 },
    },
  },
  power: {
    example: "7 kW or 24000 Btu/h",
    least: 0.0,
    written: {
      w: [1.0, 0.0],
      kw: [1000.0, 0.0],
      "btu/h": [0.2930711111111111, 0.0],
      "btu/hr": [0.2930711111111111, 0.0],
      btuh: [0.2930711111111111, 0.0],
      "btu/hour": [0.2930711111111111, 0.0],
    },
    shown: {
      metric: { scale: [1000.0, 0.0], label: "kW", decimals: 1 },
      imperial: { scale: [0.2930711111111111, 0.0], label: "Btu/h", decimals: 0 },
    },
  },
  "mass flow": {
    example: "6.5 g/s or 50 lb/h",
    least: 0.0,
    written: {
      "kg/s": [1.0, 0.0],
      "g/s": [0.001, 0.0],
      "kg/h": [0.0002777777777777778, 0.0],
      "lb/h": [0.0001259978805555556, 0.0],
      "lb/hr": [0.0001259978805555556, 0.0],
      "lbs/h": [0.0001259978805555556, 0.0],
    },
    shown: {
      metric: { scale: [0.001, 0.0], label: "g/s", decimals: 1 },
      imperial: { scale: [0.0001259978805555556, 0.0], label: "lb/h", decimals: 1 },
    },
  },
  area: {
    example: "28 in2 or 18000 mm2",
    least: 0.0,
    written: {
      m2: [1.0, 0.0],
      "m\u00b2": [1.0, 0.0],
      sqm: [1.0, 0.0],
      cm2: [0.0001, 0.0],
      "cm\u00b2": [0.0001, 0.0],
      sqcm: [0.0001, 0.0],
      mm2: [1e-06, 0.0],
      "mm\u00b2": [1e-06, 0.0],
      sqmm: [1e-06, 0.0],
      in2: [0.0006451600000000001, 0.0],
      "in\u00b2": [0.0006451600000000001, 0.0],
      sqin: [0.0006451600000000001, 0.0],
      squareinches: [0.0006451600000000001, 0.0],
      ft2: [0.09290303999999999, 0.0],
      "ft\u00b2": [0.09290303999999999, 0.0],
      sqft: [0.09290303999999999, 0.0],
      squarefeet: [0.09290303999999999, 0.0],
    },
    shown: {
      metric: { scale: [1e-06, 0.0], label: "mm\u00b2", decimals: 0 },
      imperial: { scale: [0.0006451600000000001, 0.0], label: "in\u00b2", decimals: 1 },
    },
  },
  "thermal resistance": {
    example: "0.14 m2K/W or 0.8 ft2 h F/Btu",
    least: 0.0,
    written: {
      "m2k/w": [1.0, 0.0],
      "m\u00b2k/w": [1.0, 0.0],
      "ft2hf/btu": [0.17611015908160327, 0.0],
      "ft\u00b2hf/btu": [0.17611015908160327, 0.0],
      "hft2f/btu": [0.17611015908160327, 0.0],
      "hrft2f/btu": [0.17611015908160327, 0.0],
    },
    shown: {
      metric: { scale: [1.0, 0.0], label: "m\u00b2K/W", decimals: 3 },
      imperial: { scale: [0.17611015908160327, 0.0], label: "ft\u00b2 h \u00b0F/Btu", decimals: 2 },
    },
  },
  "air permeability": {
    example: "5 m3/(h m2)",
    least: 0.0,
    written: {
      "m3/hm2": [0.0002777777777777778, 0.0],
      "m\u00b3/hm\u00b2": [0.0002777777777777778, 0.0],
      "m3/(hm2)": [0.0002777777777777778, 0.0],
      "m\u00b3/(hm\u00b2)": [0.0002777777777777778, 0.0],
      "m3/h/m2": [0.0002777777777777778, 0.0],
      "m\u00b3/h/m\u00b2": [0.0002777777777777778, 0.0],
      "cfm/ft2": [0.005079999999999999, 0.0],
      "cfm/sqft": [0.005079999999999999, 0.0],
    },
    shown: {
      metric: { scale: [0.0002777777777777778, 0.0], label: "m\u00b3/(h m\u00b2)", decimals: 1 },
      imperial: { scale: [0.0002777777777777778, 0.0], label: "m\u00b3/(h m\u00b2)", decimals: 1 },
    },
  },
};
