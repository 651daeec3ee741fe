// A clip that stays on the phone: its frames one by one, each as a still picture.
//
// Frames are numbered by the file's own clock, so that one that was dropped is not counted away.

import { el } from "./dom.js";

const PATIENCE = 15000; // ms, for a clip to open or to be wound
const PRESENTED = 600;  // ms: a frame that is there already is not presented anew
const LISTENED = 1500;  // ms, for the file's frame rate, and how slowly it plays meanwhile
const SLOWLY = 0.25;
const USUAL = 30;       // frames a second, where the browser does not tell

const heard = (one, what) => new Promise((done, fail) => {
  one.addEventListener(what, done, { once: true });
  one.addEventListener("error", () => fail(new Error("error")), { once: true });
  setTimeout(() => fail(new Error("late")), PATIENCE);
});

export class Clip {
  // An error has words for whoever chose the file.
  static async open(file) {
    const clip = new Clip();
    clip.name = `${file.name} ${file.size}`;
    clip.from = URL.createObjectURL(file);
    clip.still = "";
    const video = el("video", { playsinline: true, preload: "auto", class: "unseen", "aria-hidden": "true" });
    clip.video = Object.assign(video, { muted: true, src: clip.from });
    document.body.append(video);
    video.play().catch(() => {}); // some phones load nothing before (from memory)
    try {
      await heard(video, "loadeddata");
    } catch {
      clip.close();
      throw new Error("This browser does not show this clip. Film with the camera's most compatible format, or mark it on another phone.");
    }
    if (!video.videoWidth || !Number.isFinite(video.duration)) {
      clip.close();
      throw new Error("This clip cannot be stepped frame by frame. Choose it as the camera saved it.");
    }
    [clip.width, clip.height] = [video.videoWidth, video.videoHeight];
    clip.canvas = el("canvas", { width: clip.width, height: clip.height });
    clip.rate = await clip.listen() || USUAL;
    clip.count = Math.max(1, Math.round(video.duration * clip.rate));
    clip.anchor = [0, 0];
    return clip;
  }

  close() {
    this.video.remove();
    this.video.removeAttribute("src");
    this.video.load();
    URL.revokeObjectURL(this.from);
    URL.revokeObjectURL(this.still);
  }

  // Frames a second of the file, from when its frames are shown; 0 where nothing tells.
  async listen() {
    const { video } = this;
    if (!video.requestVideoFrameCallback) return 0;
    const times = [];
    video.playbackRate = SLOWLY;
    await new Promise((done) => {
      const shown = (_, { mediaTime }) => {
        times.push(mediaTime);
        if (times.length < 16) video.requestVideoFrameCallback(shown); else done();
      };
      video.requestVideoFrameCallback(shown);
      video.play().catch(done);
      setTimeout(done, LISTENED);
    });
    video.pause();
    const steps = times.slice(1).map((one, k) => one - times[k]).filter((one) => one > 1e-4);
    if (!steps.length) return 0;
    const least = steps.slice().sort((a, b) => a - b)[Math.floor(steps.length / 4)];
    const all = steps.reduce((sum, one) => sum + one, 0);
    return steps.reduce((sum, one) => sum + Math.max(1, Math.round(one / least)), 0) / all;
  }

  // From a frame that is sure: a rate that is a little off moves no number near it.
  hold(number, time) { this.anchor = [number, time]; }

  // The frame ``number``, or the one that the file has in its place: {number, time, url}.
  async show(number) {
    const { video, rate, anchor: [first, from] } = this;
    const starts = from + (number - first) / rate;
    const shown = video.requestVideoFrameCallback && this.presented(starts);
    const wound = heard(video, "seeked");
    video.currentTime = Math.max(0, starts + 0.5 / rate);
    await wound;
    const heardOf = await shown;
    const isAnew = await this.draw();
    this.time = heardOf ?? (isAnew ? starts : this.time);
    return { number: first + Math.round((this.time - from) * rate), time: this.time, url: this.still };
  }

  // When the frame that is presented next starts. One that was asked for before may come late, so
  // another than the one that is looked for is believed only once no other comes.
  presented(starts) {
    const { video, rate } = this;
    return new Promise((done) => {
      let last;
      const late = () => setTimeout(() => done(last), PRESENTED);
      const hear = (_, { mediaTime }) => {
        last = mediaTime;
        if (Math.abs(mediaTime - starts) < 0.5 / rate) done(mediaTime);
        else video.requestVideoFrameCallback(hear);
      };
      video.requestVideoFrameCallback(hear);
      video.addEventListener("seeked", late, { once: true });
    });
  }

  // Draw what the video shows; whether that is another picture than before.
  async draw() {
    this.canvas.getContext("2d").drawImage(this.video, 0, 0, this.width, this.height);
    const blob = await new Promise((done) => { this.canvas.toBlob(done, "image/jpeg", 0.92); });
    const [before, size] = [this.still, this.size];
    this.size = blob.size;
    this.still = URL.createObjectURL(blob);
    const image = new Image();
    image.src = this.still;
    await image.decode(); // no flash between two frames
    setTimeout(() => URL.revokeObjectURL(before), 1000);
    return blob.size !== size;
  }
}
