package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;
import linnet.report.ComparePage;
import linnet.report.StepReport;
import linnet.text.ProblemsException;

/** The page on which each step of a chain can be switched off: the passage rendered anew without it. */
final class Listening {
    static final String PAGE = "listen.html";
    /** A passage that is not told is no longer than this, and where the take is longer, so long. */
    private static final double WHOLE_SECONDS = 30, PASSAGE_SECONDS = 20;
    /** Short-term loudness is read every 100 ms, over the 3 s before. */
    private static final double READING_SECONDS = 0.1, SHORT_TERM_SECONDS = 3;

    /** What the user asked for. */
    record Wanted(Path folder, boolean force, Double from, Double to) {}

    private final Comparison comparison;
    private final List<Integer> steps = new ArrayList<>();

    private Listening(Comparison comparison) {
        this.comparison = comparison;
    }

    /** Renders the chain, and the chain without each step, those that changed most first, as many as fit. */
    static Listening of(Job job, Chain chain, Sound take, TakeLists.Known known, Reporting reporting, double[] shortTerm, Wanted wanted, PrintWriter err)
            throws ProblemsException, IOException {
        Passage passage = new Passage();
        passage.page = PAGE;
        passage.out = wanted.folder;
        passage.force = wanted.force;
        passage.from = wanted.from;
        passage.to = wanted.to;
        List<String> remarks = new ArrayList<>();
        double seconds = take.frames() / take.rate();
        double asked = Math.min(seconds, wanted.to == null ? seconds : wanted.to) - (wanted.from == null ? 0 : wanted.from);
        boolean told = wanted.from != null || wanted.to != null;
        if (!told && asked > WHOLE_SECONDS || most(asked, take.rate()) < 2) {
            passage.from = (wanted.from == null ? 0 : wanted.from) + loudest(shortTerm);
            passage.to = passage.from + PASSAGE_SECONDS;
            remarks.add("Its loudest 20 s; --from and --to choose another passage.");
            asked = PASSAGE_SECONDS;
        }
        Listening listening = new Listening(new Comparison(passage, err));
        List<StepReport> all = reporting.report().byChange();
        int count = Math.min(all.size(), most(asked, take.rate()) - 1);
        if (count < all.size()) remarks.add("The " + count + " steps that change most can be switched off here; the page holds no more.");
        remarks.add("Without a step, those after it hear another sound and find their numbers anew, as with 'on: no' in the text.");
        listening.comparison.remarks(remarks);
        listening.comparison.render("The whole chain", job.plan(chain, take.rate(), take.channels()), known.ear(take));
        for (StepReport step : all.subList(0, count)) {
            listening.steps.add(step.number());
            Chain without = new Chain(chain.title(), chain.about(), without(chain.links(), new int[] {step.number()}));
            listening.comparison.render("Without " + step.number() + ", " + step.name(), job.plan(without, take.rate(), take.channels()), known.ear(take));
        }
        return listening;
    }

    /** Versions that fit a page; a chain may make a mono take stereo. */
    private static int most(double seconds, double rate) {
        return (int) Math.min(ComparePage.MOST_VERSIONS, ComparePage.MOST_BYTES / Math.max(1, ComparePage.bytes((long) (seconds * rate), 2)));
    }

    /** Where the loudest passage begins, in seconds from the beginning of the print. */
    private static double loudest(double[] shortTerm) {
        int readings = (int) Math.round((PASSAGE_SECONDS - SHORT_TERM_SECONDS) / READING_SECONDS), best = 0;
        double sum = 0, most = -1;
        for (int i = 0; i < shortTerm.length; i++) {
            sum += Decibels.power(shortTerm[i]);
            if (i >= readings) sum -= Decibels.power(shortTerm[i - readings]);
            if (sum > most && i >= readings - 1) {
                most = sum;
                best = i - readings + 1;
            }
        }
        return best * READING_SECONDS;
    }

    /** The links with one step taken out; {@code countdown} holds how many steps come up to it and itself. */
    private static List<Link> without(List<Link> links, int[] countdown) {
        List<Link> kept = new ArrayList<>();
        for (Link link : links) {
            if (link instanceof Link.Parallel p) {
                List<Link.Branch> branches = new ArrayList<>();
                for (Link.Branch b : p.branches()) branches.add(new Link.Branch(b.at(), b.level(), without(b.links(), countdown)));
                kept.add(new Link.Parallel(p.name(), p.at(), p.mix(), branches));
            } else if (--countdown[0] != 0) {
                kept.add(link);
            }
        }
        return kept;
    }

    /** The steps that can be switched off, in the order of the page: the first is its version 2. */
    List<Integer> steps() {
        return List.copyOf(steps);
    }

    void write(String title) throws IOException {
        comparison.write(title);
    }
}
