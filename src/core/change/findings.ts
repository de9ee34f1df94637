// What one cell's detector tells the plate stage. Plain data: it crosses threads and is kept in the index.
// The detector of a cell sees only its own cell; whether neighbours agree is the plate stage's business.

interface Finding {
  readonly cell: number;
  /** Accepted-row index at which the detector knew; findings are handed over in this order. */
  readonly knownRow: number;
  readonly knownTimeS: number;
  /** Estimated onset. */
  readonly row: number;
  readonly line: number;
  readonly timeS: number;
  readonly layer: number;
  /** Header channel indices concerned; empty means all of the cell. */
  readonly channels: readonly number[];
}

/** The change of one rosette, tensor components ex, ey, gxy (engineering shear), dimensionless. */
export interface RosetteChange {
  /** Index into header.planes, -1 where unnamed. */
  readonly plane: number;
  /** NaN where the rosette has no tensor. */
  readonly change: readonly [number, number, number];
  /** Covariance of the change: xx, yy, ss, xy, xs, ys. */
  readonly covariance: readonly [number, number, number, number, number, number];
  /** Turn of the principal direction, degrees in [-90, 90), and its standard error; NaN where undefined. */
  readonly turnDeg: number;
  readonly turnErrorDeg: number;
}

/**
 * How far a change has come: `suspected` is below the level at which one cell alone may cry; `confirmed` is above it;
 * `settled` is confirmed and measured again with more samples; `returned` means that it went back (`endRow`).
 */
export type ChangeStage = 'suspected' | 'confirmed' | 'settled' | 'returned';

/** The cell's strain departed from what it was doing. */
export interface ChangeFinding extends Finding {
  readonly what: 'change';
  /** Row at which its latest part began: later than `row` where it came in several. */
  readonly partRow: number;
  /** Counts the changes of this cell; later findings about the same change repeat it. */
  readonly serial: number;
  readonly stage: ChangeStage;
  /** Rows of the block that spoke. */
  readonly length: number;
  /** Rows from one sample of that block to the next: 1, but for slow changes. */
  readonly spacing: number;
  /** It was still there some rows after its onset. */
  readonly lasting: boolean;
  /** Usual interval between samples, seconds. */
  readonly intervalS: number;
  /** -ln of the probability of so large a statistic by chance, in one test, by the learned tail. */
  readonly surprise: number;
  /** Mahalanobis distance of the change from zero. */
  readonly sigmas: number;
  /** Share of the squared change that is left where it is the cycle at another place of the layer; NaN where there is no cycle. */
  readonly cycleLeft: number;
  /** The farthest that the cycle could have led the cell astray, as a share of the change; NaN where there is no cycle. */
  readonly cycleReach: number;
  /** Strain per channel before the change, cycle off, from a zero of its own: good for differences only. NaN where missing. */
  readonly levelBefore: readonly number[];
  /** Change per strain channel of the cell (layout order), dimensionless; NaN where missing. */
  readonly delta: readonly number[];
  /** Standard error of each. */
  readonly deltaError: readonly number[];
  readonly rosettes: readonly RosetteChange[];
  /** The change grew all through the block instead of jumping: early part over late part is below a half. */
  readonly ramp: boolean;
  /** Change of temperature over the same blocks, kelvin; NaN where unknown. */
  readonly temperatureK: number;
  /** Standard deviation of such a difference as a rule, kelvin. */
  readonly usualK: number;
  /** Twice the log of the odds that one channel alone, rather than the metal, moved; see `soloist.ts`. */
  readonly soloEvidence: number;
  /** The header channel which that would be, -1 where it cannot be told. */
  readonly soloChannel: number;
  /** The layer lasts, or one before it lasted, longer than usual: the laser stopped, and temperatures with it. */
  readonly outOfRhythm: boolean;
  /** The cycle of the layer had not been learned over its whole memory. */
  readonly young: boolean;
  /** Phase of the layer at onset, index into `phases`; -1 where unknown. */
  readonly phase: number;
  /** The same at the way back, `returned` only. */
  readonly endPhase: number;
  /** `returned` only: row and time of the way back; else -1 and NaN. */
  readonly endRow: number;
  readonly endTimeS: number;
}

/** The cell's temperature left its usual range; later findings with the same serial tell how far it went, and the end. */
export interface HeatFinding extends Finding {
  readonly what: 'heat';
  readonly serial: number;
  /** Greatest distance from the usual so far, and how far it usually strays: kelvin. */
  readonly temperatureK: number;
  readonly usualK: number;
  /** The layer lasted longer than usual by then. */
  readonly overdue: boolean;
  readonly endRow: number;
  readonly endTimeS: number;
}

/** Something wrong with the measuring, seen in the readings themselves. */
export interface SensorFinding extends Finding {
  readonly what: 'dropout' | 'stuck' | 'spike' | 'wander';
  /** Row and time of its end; -1 and NaN while it lasts. A later finding with the same onset gives the end. */
  readonly endRow: number;
  readonly endTimeS: number;
  /** Samples concerned so far; wander: changes that pointed at the channel. */
  readonly samples: number;
  /** spike: height, dimensionless; stuck: the reading in the file's unit; dropout, wander: 0. */
  readonly size: number;
  /** spike: height over the channel's noise; stuck: surprise as -ln probability; wander: evidence; dropout: 0. */
  readonly sigmas: number;
  /** spike: phase of the layer, index into `phases`; -1 where unknown, as for the others. */
  readonly phase?: number;
  /** spike: usual interval between samples, seconds. */
  readonly intervalS?: number;
  /** wander: the channel spikes so often that single spikes are not told; spike: one of these, counted only. */
  readonly chatters?: boolean;
}

/** All fibres of the cell left their levels for one sample, as no channel alone could. */
export interface BlowFinding extends Finding {
  readonly what: 'blow';
  /** -ln of the probability of so wild a sample, by the learned tail. */
  readonly surprise: number;
  /** The cell alone is sure that several channels did. */
  readonly alone: boolean;
  /** Mahalanobis distance. */
  readonly sigmas: number;
  /** Per strain channel, dimensionless; NaN where missing. */
  readonly delta: readonly number[];
  /** By rosette; NaN without a tensor. */
  readonly changes: readonly Pick<RosetteChange, 'plane' | 'change'>[];
  /** Phase of the layer, index into `phases`; -1 where unknown. */
  readonly phase: number;
  /** Usual interval between samples, seconds. */
  readonly intervalS: number;
  /** Of the sample after it. */
  readonly endTimeS: number;
}

export type CellFinding = ChangeFinding | HeatFinding | SensorFinding | BlowFinding;
