// Sets the theme before anything is drawn, so that a night screen never flashes white.
(() => {
  const root = document.documentElement;
  let kept = null;
  try {
    kept = localStorage.getItem("pappus.theme");
  } catch {
    // Storage is refused: the system's wish decides.
  }
  const dark = matchMedia("(prefers-color-scheme: dark)").matches;
  root.dataset.theme = kept === "day" || kept === "night" || kept === "sunlight" ? kept : dark ? "night" : "day";
})();
