// @ts-check
// A soft tick with each beat that the probe finds. Off until somebody asks for it; always the same height, so that
// nobody listens for the number in it.

const HZ = 520, LASTS_S = 0.07, LOUD = 0.06;

export function softTone() {
  /** @type {AudioContext | null} */
  let audio = null;
  let on = false;
  return {
    /** @returns {boolean} whether it sounds from now on */
    toggle() {
      on = !on;
      if (on) audio ??= new AudioContext();
      return on;
    },
    beat() {
      if (!on || !audio) return;
      const sound = audio.createOscillator(), loud = audio.createGain(), now = audio.currentTime;
      sound.frequency.value = HZ;
      loud.gain.setValueAtTime(0, now);
      loud.gain.linearRampToValueAtTime(LOUD, now + 0.01);
      loud.gain.linearRampToValueAtTime(0, now + LASTS_S);
      sound.connect(loud).connect(audio.destination);
      sound.start(now);
      sound.stop(now + LASTS_S);
    },
  };
}
