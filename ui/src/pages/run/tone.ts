// A short tone, for eyes that stay on the part.
let audio: AudioContext | undefined;

export function tone(hertz: number, seconds: number) {
  try {
    audio ??= new AudioContext();
    void audio.resume();
    const [source, level] = [audio.createOscillator(), audio.createGain()];
    source.frequency.value = hertz;
    level.gain.setValueAtTime(0.25, audio.currentTime);
    level.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + seconds);
    source.connect(level).connect(audio.destination);
    source.start();
    source.stop(audio.currentTime + seconds);
  } catch {
    // A browser without sound: the table and the figures say the same.
  }
}
