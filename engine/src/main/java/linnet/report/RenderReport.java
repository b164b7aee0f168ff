package linnet.report;

import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import linnet.hear.Ear;
import linnet.report.Warnings.Warning;

/** What a render did, step by step, and what a professional would say to it. */
public final class RenderReport {
    /**
     * What leaves the chain, as it was written.
     *
     * @param seconds its length
     * @param endDbfs level of its last 50 ms, -90 or lower where it dies away
     * @param print whether it is handed over so, and not on its way into a mix
     * @param sung whether what is in it is what someone sings, and neither a mix nor what a room makes of it
     */
    public record Printed(double seconds, int channels, double lufs, double truePeakDbtp, double samplePeakDbfs, double endDbfs, double renderSeconds,
            boolean print, boolean sung) {}

    /**
     * The part of the take that the report covers, in seconds.
     *
     * @param goesOn whether the take does, after that
     */
    public record Covered(double from, double to, double rate, boolean goesOn) {}

    private final Printed print;
    private final Covered covered;
    private final List<StepReport> steps;
    private final PhraseCells phrases;
    private final List<Warning> warnings;

    /**
     * @param ear on the take
     * @param hop samples of a cell, as the meters of the steps have it
     */
    public RenderReport(Printed print, Covered covered, Ear ear, int hop, List<StepReport> steps) {
        this.print = print;
        this.covered = covered;
        this.steps = List.copyOf(steps);
        phrases = new PhraseCells(ear, Math.round(covered.from * covered.rate), (int) ((covered.to - covered.from) * covered.rate / hop));
        warnings = Warnings.of(this.steps, print, phrases, covered);
    }

    Printed print() {
        return print;
    }

    Covered covered() {
        return covered;
    }

    public List<StepReport> steps() {
        return steps;
    }

    PhraseCells phrases() {
        return phrases;
    }

    /** Warnings, and numbers found by hearing with something beside them. */
    List<Warning> toLookAt() {
        Stream<Warning> advice = steps.stream().flatMap(s -> s.found().stream().filter(StepReport.Found::advised)
                .map(f -> new Warning(s.number(), false, OptionalDouble.empty(), f.setting() + ": " + f.value())));
        return Stream.concat(warnings.stream(), advice).toList();
    }

    List<Warning> warnings(int step) {
        return warnings.stream().filter(w -> w.step() == step).toList();
    }

    /** Every warning in a sentence or two, the step's name before it. */
    public List<String> warningTexts() {
        return warnings.stream().map(w -> (w.step() == 0 ? "" : w.step() + ", " + steps.get(w.step() - 1).name() + ": ") + w.text()).toList();
    }

    /** The median reduction of a step while someone sings, in dB. */
    public double medianDb(StepReport step) {
        return step.reductionDb(0.5, phrases.sung());
    }

    /** The reduction that a step passes in one of twenty sung moments, in dB. */
    public double mostDb(StepReport step) {
        return step.reductionDb(0.95, phrases.sung());
    }

    /** The steps that changed most come first; apart from loudness. */
    public List<StepReport> byChange() {
        return steps.stream().sorted((a, b) -> Double.compare(b.changedDb(), a.changedDb())).toList();
    }
}
