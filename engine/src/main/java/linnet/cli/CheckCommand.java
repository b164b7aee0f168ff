package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.function.Supplier;
import linnet.audio.WavFile;
import linnet.chain.Chain;
import linnet.plan.Feed;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.render.Rendered;
import linnet.render.Renderer;
import linnet.render.Resolved;
import linnet.render.Witness;
import linnet.song.SongReader;
import linnet.step.Catalogue;
import linnet.step.builtin.Builtins;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "check",
        description = {
            "Says everything that is wrong with a chain or song file. Of a song also where its sections lie; of a chain with a take also every number that is "
                    + "found by hearing it, "
                    + "the plan, the latencies and the delays put in to keep every path in time."
        },
        mixinStandardHelpOptions = true)
final class CheckCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Mixin
    Job job;

    @Mixin
    TakeLists lists;

    @Parameters(index = "1", arity = "0..1", paramLabel = "TAKE.wav", description = "A take to check it with.")
    Path take;

    @Option(names = "--json", description = "Print the result as JSON.")
    boolean json;

    private PrintWriter out, err;
    private final Supplier<Catalogue> steps;

    CheckCommand() {
        steps = Builtins::catalogue;
    }

    /**
     * Of a file alone, without a take or options.
     *
     * @param steps the steps there are, asked for once its text is read
     */
    CheckCommand(Path file, PrintWriter out, PrintWriter err, Supplier<Catalogue> steps) {
        job = new Job(file);
        lists = new TakeLists();
        this.out = out;
        this.err = err;
        this.steps = steps;
    }

    @Override
    public Integer call() throws ProblemsException, IOException {
        if (SongReader.isSong(job.file)) {
            if (take != null) throw new Refusal(Exit.USAGE, job.file + " is a song and names its own takes: leave out " + take);
            if (spec != null) SongJob.refuse(spec, "--marks", "--notes", "--tempo");
            SongCheck.check(job.file, steps, json, out(), err());
            return Exit.DONE;
        }
        Problems problems = new Problems();
        Chain chain = job.chain(steps.get(), problems);
        Reads reads = new Reads(job.file).texts(problems.texts());
        if (take == null) {
            if (lists.marks != null) throw new Refusal(Exit.USAGE, "--marks are of a take: name it too");
            if (lists.notes != null) throw new Refusal(Exit.USAGE, "--notes are of a take: name it too");
            // Planned at a usual rate, so that a missing tempo is found too.
            Plan plan = job.plan(chain, 48_000, 1);
            if (json) {
                print(asJson(chain, plan), reads);
            } else {
                out().println(job.file + ": nothing wrong, " + count(chain.links().size(), "step"));
                reads.say(out());
            }
            return Exit.DONE;
        }
        try (WavFile sound = WavFile.open(take)) {
            Remarks remarks = new Remarks(err());
            remarks.sayOf(take, sound);
            TakeLists.Known known = lists.of(take, sound, remarks::say);
            Plan plan = job.plan(chain, sound);
            try (Renderer renderer = new Renderer(plan, known.ear(sound), Renderer.Options.usual(), Progress.onTerminal("listening", json), Witness.NONE)) {
                Rendered found = renderer.resolve();
                reads.sounds(List.of(take)).lists(known.lists().keySet());
                if (json) {
                    print(asJson(chain, plan, found, known, remarks), reads);
                } else {
                    print(plan, found, known);
                    reads.say(out());
                }
            }
        }
        return Exit.DONE;
    }

    private void print(JsonObject found, Reads reads) {
        found.add("reads", reads.json());
        out().println(Json.of(found));
    }

    private PrintWriter out() {
        return out != null ? out : spec.commandLine().getOut();
    }

    private PrintWriter err() {
        return err != null ? err : spec.commandLine().getErr();
    }

    private static String count(int n, String noun) {
        return n + " " + noun + (n == 1 ? "" : "s");
    }

    private void print(Plan plan, Rendered found, TakeLists.Known known) {
        PrintWriter out = out();
        out.println(job.file + " on " + take + ": nothing wrong");
        known.sayAll(out);
        List<Resolved> odd = found.resolved().stream().filter(Resolved::odd).toList(), numbers = found.resolved().stream().filter(r -> !r.odd()).toList();
        for (Resolved r : odd) out.println(r.words());
        if (!numbers.isEmpty()) {
            out.println();
            out.println("Found by hearing what arrives at the step:");
            for (Resolved r : numbers) out.println("  " + r.words());
        }
        out.println();
        out.println("Plan: " + count(plan.stages(), "pass") .replace("passs", "passes") + ", print "
                + (plan.output().channels() == 1 ? "mono" : "stereo") + ", "
                + count(plan.output().departure(), "sample") + " of latency taken out");
        for (Node node : plan.nodes()) {
            String number = node.work().isPresent() ? Integer.toString(plan.steps().indexOf(node) + 1) : "";
            StringBuilder line = new StringBuilder(String.format("  %3s  ", number)).append(node.name());
            for (Feed f : node.feeds()) {
                line.append(f == node.feeds().get(0) ? " from " : ", ").append(plan.nodes().get(f.from()).name());
                if (f.delay() > 0) line.append(" (delayed by ").append(f.delay()).append(')');
            }
            if (node.latency() > 0) line.append("; latency ").append(node.latency());
            line.append("; pass ").append(node.stage() + 1);
            out.println(line);
        }
    }

    /** What can be said without a take: delays are left out, as they depend on its rate. */
    private static JsonObject asJson(Chain chain, Plan plan) {
        JsonObject object = new JsonObject();
        object.addProperty("chain", chain.title());
        object.addProperty("about", chain.about());
        object.addProperty("passes", plan.stages());
        JsonArray steps = new JsonArray();
        for (Node node : plan.steps()) {
            JsonObject o = new JsonObject();
            o.addProperty("step", steps.size() + 1);
            o.addProperty("name", node.name());
            o.addProperty("hears", node.work().orElseThrow().hears());
            steps.add(o);
        }
        object.add("steps", steps);
        return object;
    }

    private static JsonObject asJson(Chain chain, Plan plan, Rendered found, TakeLists.Known known, Remarks remarks) {
        JsonObject object = new JsonObject();
        object.addProperty("chain", chain.title());
        known.tell(object);
        object.add("resolved", Json.resolved(found.resolved()));
        object.addProperty("passes", plan.stages());
        object.addProperty("latency_frames", plan.output().departure());
        JsonArray nodes = new JsonArray();
        for (Node node : plan.nodes()) {
            JsonObject o = new JsonObject();
            o.addProperty("id", node.id());
            o.addProperty("name", node.name());
            if (node.work().isPresent()) o.addProperty("step", plan.steps().indexOf(node) + 1);
            o.addProperty("channels", node.channels());
            o.addProperty("latency_frames", node.latency());
            o.addProperty("pass", node.stage() + 1);
            JsonArray feeds = new JsonArray();
            for (Feed f : node.feeds()) {
                JsonObject feed = new JsonObject();
                feed.addProperty("from", f.from());
                feed.addProperty("delay_frames", f.delay());
                feeds.add(feed);
            }
            o.add("feeds", feeds);
            nodes.add(o);
        }
        object.add("nodes", nodes);
        object.add(Remarks.KEY, remarks.json());
        return object;
    }
}
