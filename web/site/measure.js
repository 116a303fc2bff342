// Starts the program that measures scans beside the page, so that the page answers meanwhile. It is told which one.
self.onmessage = async ({ data: [script, program, integrity] }) => {
  self.onmessage = null;
  try {
    const [{ default: init }, response] = await Promise.all([import(script), fetch(program, { integrity })]);
    await init({ module_or_path: response });
  } catch (error) {
    console.warn('Scans cannot be measured:', error);
    self.postMessage(null);
  }
};
