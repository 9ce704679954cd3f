/** What the service makes of a comeback. Needs a signal: the causes are weighed with what the shop has learned. */
import { useEffect, useState } from "preact/hooks";
import { api, Problem } from "../../book";
import type { components } from "../../contract";

export type ReviewAnswer = components["schemas"]["Review"];
export type Compared = components["schemas"]["Compared"];
export type Candidate = components["schemas"]["CauseCandidate"];
export type Close = components["schemas"]["Close"];

export const NONE_OF_THESE = "none_of_these";

export interface Asked {
  review: ReviewAnswer | null;
  problem: string | null;
  again: () => Promise<void>;
}

/** The review of a job, asked again whenever one more entry is confirmed. */
export function useReview(jobId: string, confirmed: number): Asked {
  const [review, setReview] = useState<ReviewAnswer | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const again = () => api.get<ReviewAnswer>(`/jobs/${jobId}/review`).then(
    (answer) => {
      setReview(answer);
      setProblem(null);
    },
    (error: unknown) => setProblem(why(error)),
  );
  useEffect(() => void again(), [jobId, confirmed]);
  return { review, problem, again };
}

export function why(error: unknown): string {
  if (error instanceof Problem && error.status && error.status !== 503) return error.message;
  return "No signal: the causes are weighed by the service. What you read on Bench is kept; open Review again with a signal.";
}
