import type { ManifestOptions } from "vite-plugin-pwa";

/**
 * What the phone knows about the app once it is installed. `id` never changes: it is how the
 * system tells that a new build is the same app.
 */
export const MANIFEST: Partial<ManifestOptions> = {
  id: "/flarenut",
  name: "flarenut",
  short_name: "flarenut",
  description:
    "Start-up of multi-unit air conditioning: issues, readings and the day the site is ready.",
  lang: "en",
  dir: "ltr",
  start_url: "/",
  scope: "/",
  display: "standalone",
  theme_color: "#F7F4EE",
  background_color: "#F7F4EE",
  categories: ["business", "productivity"],
  launch_handler: { client_mode: "navigate-existing" },
  icons: [
    { src: "/icons/icon-192.png", sizes: "192x192", type: "image/png", purpose: "any" },
    { src: "/icons/icon-512.png", sizes: "512x512", type: "image/png", purpose: "any" },
    { src: "/icons/maskable-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
  ],
  shortcuts: [
    { name: "Log an issue", url: "/?go=log" },
    { name: "Round", url: "/?go=round" },
    { name: "Waiting to send", url: "/you" },
  ],
  screenshots: [
    {
      src: "/screenshots/narrow-job.png",
      sizes: "1080x2340",
      type: "image/png",
      form_factor: "narrow",
      label: "A job: what is done, what is gated and why",
    },
    {
      src: "/screenshots/wide-board.png",
      sizes: "1280x800",
      type: "image/png",
      form_factor: "wide",
      label: "The board: when each site is ready",
    },
  ],
};
