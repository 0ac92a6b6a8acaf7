// The logs and manuals that sessions speak of: invented, small, with something in them for every feature.

export const MANUAL = `manual   Tarn 250, edition 3
source   workshop manual
extends  pressed crank

feature web width
  build    51.90 to 52.05 mm
feature side play
  build    0.35 to 0.50 mm, source page 41
  service  up to 0.60 mm, source page 41
feature flywheel gap
  build    0.10 to 0.30 mm
feature bore
  unit     mm
feature piston size
  unit     mm
calc piston clearance = smallest(bore) - largest(piston size)
  build    0.045 to 0.060 mm
`;

/** Has a danger (the press step), a fault (side play is out), readings that want laying out, and letters outside ASCII and outside the basic plane. */
export const LOG = `job      bottom end, pin blued µ 汉 𐐀
machine  Tarn 250 trials single, frame TN-0417
hours    312
manual   tarn-250

tool mic 50-75:  micrometer, reads to 0.01 mm, good to 0.004 mm
tool feelers:    feeler gauge
tool press:      press, rated 10 t

2026-03-14  as found
note 𐐀 rattles µ 汉
web   width = 52.03 mm by mic 50-75
side play = go 0.65, no-go 0.70 mm by feelers   # 𐐀 worn
found webs: good, reuse
photo pictures/pin.jpg

2026-03-20  build
did press together, force 6 t on press
side play = go 0.40, no-go 0.45 mm by feelers
flywheel gap = go 0.20, no-go 0.25 mm by feelers
bore of cylinder = mm at 24 C
            along    across
   top      72.012   72.010
   middle   72.015   72.011
   bottom   72.013   72.012
`;

export const FILES = {
  "logs/crank.rebuild": LOG,
  "logs/earlier.rebuild": LOG.replace("312", "120").replaceAll("2026", "2025"),
  "logs/pictures/pin.jpg": "",
  "manuals/tarn-250.manual": MANUAL,
};
