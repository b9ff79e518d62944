/** What a promise comes to, or null when it takes longer than `milliseconds`. What it comes to later is not looked at. */
export const within = async <T>(promise: Promise<T>, milliseconds: number): Promise<T | null> => {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<null>((resolve) => {
    timer = setTimeout(() => resolve(null), milliseconds);
  });
  try {
    return await Promise.race([promise, late]);
  } finally {
    clearTimeout(timer);
  }
};
