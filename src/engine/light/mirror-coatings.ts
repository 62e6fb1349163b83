// Reflectance of clean metal films, and what is commonly reckoned with in service.

/** Ideal reflectance at normal incidence at the wavelengths that lead each column. */
export const MIRROR_COATINGS = {
  wavelengthsAngstrom: [4400, 5000, 5500, 6563, 6724, 8000],
  coatings: [
    {
      coating: 'evaporated aluminium',
      reflectance: [0.923, 0.919, 0.915, 0.905, 0.902, 0.868],
      source: 'computed from n, k of Rakic 1995, Applied Optics 34, 4755',
    },
    {
      coating: 'evaporated aluminium',
      reflectance: [0.922, 0.919, 0.916, 0.903, 0.9, 0.86],
      source: 'computed from n, k of McPeak et al. 2015',
    },
    {
      coating: 'silver',
      reflectance: [0.979, 0.982, 0.983, 0.99, 0.992, 0.995],
      source: 'computed from n, k of Johnson & Christy 1972',
    },
  ],
} as const

/** Aluminium in service, per surface, and a good antireflection coating, loss per surface. */
export const SURFACES_IN_SERVICE = {
  source: 'common practice, no source',
  aluminiumReflectance: { from: 0.85, to: 0.9 },
  multilayerCoatingLoss: { from: 0.002, to: 0.005 },
} as const
