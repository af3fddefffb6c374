/** Drawings of the drive, and where the outlet should go. Points are [x, y] in metres, y down the page. */
import type { WorkingStep } from "./types.d.ts";

export type Spot = [number, number];
export type Face = "outdoors" | "garage" | "house";
export type AreaKind = "path" | "footway" | "lawn" | "escape_route" | "strike";
export type MarkKind = "gas_meter" | "tank" | "metalwork";
export type OpeningKind = "door" | "window";

export interface Wall {
  start: Spot;
  end: Spot;
  left: Face;
  right: Face;
}

export interface Stretch {
  wall: number;
  from_m: number;
  to_m: number;
}

export interface Opening extends Stretch {
  kind: OpeningKind;
}

export interface Place {
  label: string;
  start: Spot;
  end: Spot;
  width_m: number;
}

export interface Area {
  kind: AreaKind;
  corners: Spot[];
}

export interface Mark {
  kind: MarkKind;
  at: Spot;
}

export interface Drawing {
  width_m: number;
  depth_m: number;
  walls: Wall[];
  stretches: Stretch[];
  openings: Opening[];
  places: Place[];
  areas: Area[];
  marks: Mark[];
  consumer_unit: Spot | null;
  outlet_height_m: number;
  cable_m: number | null;
  car_length_m: number;
  car_width_m: number;
}

export interface Drive {
  id: string;
  label: string;
  created_at: string;
  drawing: Drawing;
}

export interface Reach {
  car_id: string;
  car_label: string;
  place: number;
  place_label: string;
  way: "nose_in" | "nose_out";
  is_usual: boolean;
  is_reached: boolean;
  is_crossing: boolean;
  ground_m: number | null;
  needed_m: number | null;
  cable_m: number;
  route: Spot[];
  passes: string[];
}

export interface Position {
  wall: number;
  side: "left" | "right";
  face: Face;
  offset_m: number;
  at: Spot;
  cars_reached: number;
  ways_reached: number;
  crossings: number;
  ground_m: number;
  run_m: number | null;
  reaches: Reach[];
  cautions: string[];
  why: string;
}

export interface Siting {
  summary: string;
  cars: number;
  best: Position | null;
  others: Position[];
  refused: { wall: number; side: "left" | "right"; from_m: number; to_m: number; reason: string; words: string }[];
  fixed_cables: {
    use: string;
    size_mm2: number;
    current_a: number;
    length_m: number | null;
    drop_v: number | null;
    drop_percent: number | null;
    is_within: "passes" | "fails" | "not_known";
  }[];
  not_known: string[];
  cautions: string[];
  consents: { kind: string; answer: string; given_on: string | null }[];
  notifiable: { words: string; source: string; standing: string };
  assumed: Record<string, string>;
  working: WorkingStep[];
}
