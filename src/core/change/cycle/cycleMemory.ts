// How long the cycle of the layer is remembered, in layers. Imports nothing, so that inner loops take these as numbers.

/** Memory in layers. Geometry changes slowly over layers; a memory of 12 costs 1/12 of extra variance. */
export const memoryLayers = 12;
/** Layers from which on a new place is taken to go on like the one before it. */
export const learningLayers = 4;
