/** What charging stands for in carbon. */
import type { WorkingStep } from "./types.d.ts";

export interface PetrolCar {
  size: "average" | "small" | "medium" | "large";
  emitted_kg: number | null;
  saved_kg: number | null;
}

export interface CarbonMonth {
  month_on: string;
  energy_kwh: number;
  estimated_kwh: number;
  miles: string;
  electricity_kg: number | null;
  petrol_kg: number | null;
}

export interface Carbon {
  from_on: string;
  to_on: string;
  set_years: number[];
  energy: { metered_kwh: number; stated_kwh: number; away_kwh: number; estimated_kwh: number; total_kwh: number };
  told_miles: string;
  estimated_miles: string;
  electricity_kg: number | null;
  petrol_cars: PetrolCar[];
  months: CarbonMonth[];
  planned_kwh: number | null;
  planned_kg: number | null;
  notes: string[];
  working: WorkingStep[];
}

export interface SchemeCarbon extends Carbon {
  household_count: number;
  told_household_count: number;
  fewest_households: number;
}
