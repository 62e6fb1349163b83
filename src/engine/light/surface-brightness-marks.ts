// Published surface brightnesses to compare a target with.

/** Brightness of lines in the night sky and its nebulae, in rayleighs. */
export const LINE_BRIGHTNESS_MARKS = [
  {
    fromRayleighs: 0.15,
    toRayleighs: 0.15,
    what: 'detection limit (3 sigma) of the northern H-alpha survey; ionised gas shows nearly everywhere',
    source: 'Haffner et al. 2003, ApJS 149, 405',
  },
  {
    fromRayleighs: 0.05,
    toRayleighs: 0.05,
    what: 'faintest H-alpha found by the northern survey in 30 s',
    source: 'catalogue description II/249',
  },
  {
    fromRayleighs: 0.2,
    toRayleighs: 0.2,
    what: 'diffuse H-alpha at high latitude, where there is least hydrogen',
    source: 'Hausen, Reynolds & Haffner 2002, astro-ph/0112500',
  },
  {
    fromRayleighs: 5,
    toRayleighs: 5,
    what: 'limit of the southern H-alpha plate survey',
    source: 'Parker et al. 2005, MNRAS 362, 689',
  },
  {
    fromRayleighs: 1,
    toRayleighs: 10,
    what: 'H-alpha of the geocorona, in front of every target',
    source: 'geocoronal data description, Kitt Peak',
  },
  {
    fromRayleighs: 0.25,
    toRayleighs: 1,
    what: 'H-beta of the geocorona',
    source: 'geocoronal data description, Kitt Peak',
  },
  {
    fromRayleighs: 320,
    toRayleighs: 320,
    what: 'airglow 5577 Å, mean of 6.5 h, March 1991',
    source: 'PhD thesis abstract, 1992PhDT.........8J',
  },
  {
    fromRayleighs: 160,
    toRayleighs: 160,
    what: 'airglow 6300 Å, mean of 6.5 h, March 1991',
    source: 'PhD thesis abstract, 1992PhDT.........8J',
  },
  {
    fromRayleighs: 450,
    toRayleighs: 450,
    what: 'airglow OH (8-3)',
    source: 'PhD thesis abstract, 1992PhDT.........8J',
  },
  { fromRayleighs: 90, toRayleighs: 90, what: 'airglow OH (7-2)', source: 'PhD thesis abstract, 1992PhDT.........8J' },
  {
    fromRayleighs: 970,
    toRayleighs: 970,
    what: 'airglow OH (6-2)',
    source: 'PhD thesis abstract, 1992PhDT.........8J',
  },
  {
    fromRayleighs: 680,
    toRayleighs: 680,
    what: 'airglow OH (5-1)',
    source: 'PhD thesis abstract, 1992PhDT.........8J',
  },
  {
    fromRayleighs: 250,
    toRayleighs: 250,
    what: 'airglow 5577 Å, typical',
    source: 'Leinert et al. 1998, A&AS 127, 1 (from memory)',
  },
  {
    fromRayleighs: 60,
    toRayleighs: 150,
    what: 'airglow 6300 Å, typical',
    source: 'Leinert et al. 1998, A&AS 127, 1 (from memory)',
  },
  {
    fromRayleighs: 30,
    toRayleighs: 100,
    what: 'airglow Na D, summer to winter',
    source: 'Benn & Ellison 1998 (from memory)',
  },
] as const

/** Orders of magnitude of H-alpha in nebulae, for demonstrations only. */
export const NEBULA_CLASSES = {
  source: 'common practice, no source',
  classes: [
    { rayleighs: 3e5, what: 'bright core of a nebula' },
    { rayleighs: 1000, what: 'bright H II region' },
    { rayleighs: 100, what: 'large loop' },
    { rayleighs: 10, what: 'faint nebula' },
    { rayleighs: 1, what: 'limit of long amateur exposures' },
  ],
} as const
