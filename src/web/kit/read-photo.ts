/** Longest side at which a photo is looked through, pixels: enough for the finest code, quick enough for a tablet. */
const longestSide = 1600;

/** The code in a photo; null where none is found. The reader of codes is loaded when the first photo comes. */
export const readPhoto = async (photo: Blob): Promise<string | null> => {
  const { default: jsqr } = await import("jsqr");
  const bitmap = await createImageBitmap(photo);
  try {
    const shrink = Math.min(1, longestSide / Math.max(bitmap.width, bitmap.height));
    const [width, height] = [Math.round(bitmap.width * shrink), Math.round(bitmap.height * shrink)];
    const canvas = document.createElement("canvas");
    canvas.width = width;
    canvas.height = height;
    const context = canvas.getContext("2d", { willReadFrequently: true });
    if (context === null) return null;
    context.drawImage(bitmap, 0, 0, width, height);
    return jsqr(context.getImageData(0, 0, width, height).data, width, height)?.data ?? null;
  } finally {
    bitmap.close();
  }
};
