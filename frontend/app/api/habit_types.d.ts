/** Shapes of a home's habits and of a car's diary, as the service gives and takes them. */

/** Times of day are "HH:MM" on the home's clock. */
export interface Habits {
  swap_times: string[];
  need_quantile_permille: number;
  yearly_kwh: number | null;
  quiet_from: string | null;
  quiet_until: string | null;
}

/** Miles are a decimal text; a day not driven has "0". */
export interface DiaryEntry {
  on: string;
  miles: string;
}

export interface DiaryDay extends DiaryEntry {
  id: string;
}
