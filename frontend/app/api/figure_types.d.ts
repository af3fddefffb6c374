/** The book of dated figures. */

export type FigureStanding = "published" | "two_sources" | "from_memory" | "assumed" | "operator";

export interface DatedFigure {
  name: string;
  key: string;
  subject: string;
  label: string;
  from_on: string;
  until_on: string | null;
  is_in_force: boolean;
  value: string;
  unit: string;
  standing: FigureStanding;
  source: string;
  recorded_by: string | null;
  recorded_at: string | null;
}

export interface UnknownFigure {
  name: string;
  key: string;
  subject: string;
  label: string;
  since_on: string | null;
}

export interface FigureBook {
  on: string;
  subjects: string[];
  items: DatedFigure[];
  not_known: UnknownFigure[];
}
