// @ts-check
// The bedside page: its sheet does everything.

import "../el/bedside-sheet.mjs";
