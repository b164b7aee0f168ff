package linnet.render;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.function.IntFunction;
import linnet.plan.Feed;
import linnet.plan.Level;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.setting.Value;

/** By what a work is known again: two works of one signature make the same samples. */
public final class Signature {
    private static final int PIECE = 1 << 16;
    /** Enough to tell the places of one chain apart. */
    private static final int PLACE_DIGITS = 24;

    private Signature() {}

    /**
     * The signature of a work.
     *
     * @param engine what makes it; another version may make other samples
     * @param rate samples per second of the song
     * @param takes signature of each take, with all that is told of it
     * @param made signatures of what each work before it makes
     * @return one for each sound that it makes, of 64 hexadecimal digits
     */
    static List<String> of(Work work, String engine, double rate, IntFunction<String> takes, IntFunction<List<String>> made) {
        StringBuilder text = input(work, engine, rate, takes, made);
        chain(work.chain(), work.chain().nodes().size(), text);
        if (work.shares().isEmpty()) return List.of(digest(text.toString()));
        List<String> all = new ArrayList<>();
        for (List<Work.Tap> share : work.shares()) {
            StringBuilder one = new StringBuilder(text).append("share\n");
            taps(share, one, takes, made);
            all.add(digest(one.toString()));
        }
        return all;
    }

    /** The signature of what goes into the chain of a work; made as {@link #of}. */
    static String ofInput(Work work, String engine, double rate, IntFunction<String> takes, IntFunction<List<String>> made) {
        return digest(input(work, engine, rate, takes, made).toString());
    }

    /** The signature of a take, for what is remembered of it. */
    static String ofTake(String take, String engine, double rate) {
        return digest(engine + '\n' + rate + " take " + take);
    }

    /** The signature of a sound file as it lies there, for what is remembered of it. */
    public static String ofFile(String digest, String engine) {
        return digest(engine + " file " + digest);
    }

    /** The signature of what goes into a work from one place, for what is remembered of how that is put together; made as {@link #of}. */
    static String ofSource(Work.Source source, String engine, double rate, IntFunction<String> takes, IntFunction<List<String>> made) {
        StringBuilder text = new StringBuilder(engine).append('\n').append(rate).append(" source ");
        source(source, takes, made, text);
        return digest(text.toString());
    }

    /** Stands for what a plan does up to a node, and the node itself. */
    static String upTo(Plan plan, int node) {
        StringBuilder text = new StringBuilder();
        chain(plan, node + 1, text);
        return digest(text.toString()).substring(0, PLACE_DIGITS);
    }

    /** The signature of what the chain of a mix goes by, for what is heard in it; made as {@link #of}. */
    static String ofHeard(SongPlan.Bus bus, String engine, double rate, IntFunction<List<String>> made) {
        StringBuilder text = new StringBuilder(engine).append('\n').append(rate).append(" heard\n");
        taps(bus.heard(), text, t -> "", made);
        return digest(text.toString());
    }

    private static StringBuilder input(Work work, String engine, double rate, IntFunction<String> takes, IntFunction<List<String>> made) {
        StringBuilder text = new StringBuilder(engine).append('\n').append(rate).append(' ').append(work.channels()).append(work.played() ? " played\n" : "\n");
        taps(work.input(), text, takes, made);
        work.tidying().ifPresent(t -> {
            text.append("tidied ").append(t.aims()).append(' ').append(t.except()).append(" like ").append(t.channels()).append('\n');
            taps(t.lead(), text, takes, made);
        });
        return text;
    }

    /**
     * The signature of a print: of its samples, as far as they are known before the length of all prints is.
     *
     * @param made signatures of what each work makes
     */
    static String of(SongPlan.SongPrint print, SongPlan.Bus bus, double rate, IntFunction<List<String>> made) {
        StringBuilder text = new StringBuilder("print ").append(rate).append(' ').append(print.channels()).append(' ').append(print.from()).append(' ').append(print.to()).append('\n');
        taps(print.sum(), text, t -> "", made);
        if (print.whole() || bus.hears()) taps(bus.input(), text.append(print.whole() ? "whole\n" : "of\n"), t -> "", made);
        if (bus.hears() && !bus.heard().equals(bus.input())) taps(bus.heard(), text.append("heard\n"), t -> "", made);
        chain(bus.chain(), bus.chain().nodes().size(), text);
        return digest(text.toString());
    }

    private static void taps(List<Work.Tap> taps, StringBuilder text, IntFunction<String> takes, IntFunction<List<String>> made) {
        for (Work.Tap t : taps) {
            source(t.source(), takes, made, text);
            course(text.append(t.pan().sides() ? " turned" : " pan"), t.pan().place());
            course(text.append(" level"), t.level());
            text.append('\n');
        }
    }

    private static void source(Work.Source source, IntFunction<String> takes, IntFunction<List<String>> made, StringBuilder text) {
        if (source instanceof Work.Source.Take k) {
            text.append("take ").append(takes.apply(k.take())).append(" at ").append(k.at()).append(k.flipped() ? " flipped" : "");
        } else if (source instanceof Work.Source.Made m) {
            text.append("work ").append(made.apply(m.work()).get(m.share()));
        } else if (source instanceof Work.Source.Edited e) {
            text.append("edited").append(e.flipped() ? " flipped" : "");
            for (int i = 0; i < e.pieces().size(); i++) {
                text.append("\n ");
                source(e.pieces().get(i).of(), takes, made, text);
                text.append(" later ").append(e.pieces().get(i).later());
                // Where the text has it makes no sound.
                if (i < e.borders().size()) text.append(" until ").append(e.borders().get(i).at()).append(" reach ").append(e.borders().get(i).reach()).append(" fade ").append(e.borders().get(i).fade());
            }
            course(text.append(" level"), e.level());
            for (Work.Muted m : e.muted()) text.append(" muted ").append(m.kind()).append(' ').append(m.from()).append(' ').append(m.to()).append(' ').append(m.fade());
        } else {
            text.append("silence");
        }
    }

    private static void course(StringBuilder text, Work.Course course) {
        course.points().forEach(p -> text.append(' ').append(p.at()).append('=').append(p.value()));
    }

    /** The steps with their values, and how they are joined; what they are called makes no sound. */
    private static void chain(Plan plan, int nodes, StringBuilder text) {
        for (Node node : plan.nodes().subList(0, nodes)) {
            text.append(node.work().map(w -> w.use().step().word() + " " + w.use().values().write() + " at " + w.tempo()).orElse(node.turn().isEmpty() ? "sum" : "turned " + node.turn()));
            for (Feed f : node.feeds()) text.append(" <- ").append(f.from()).append(' ').append(f.delay()).append(' ').append(level(f.level()));
            text.append('\n');
        }
    }

    private static String level(Level level) {
        if (level instanceof Level.Branch b) return "branch " + value(b.db());
        if (level instanceof Level.Wet w) return "wet " + value(w.percent());
        if (level instanceof Level.Dry d) return "dry " + value(d.percent());
        return "";
    }

    private static String value(Value value) {
        return value instanceof Value.Amount a ? Double.toString(a.value()) : value.toString();
    }

    /** Of a name. */
    public static String digest(String text) {
        return digest(text.getBytes(StandardCharsets.UTF_8));
    }

    /** SHA-256 in hexadecimal digits. */
    static String digest(byte[] bytes) {
        return HexFormat.of().formatHex(sha256().digest(bytes));
    }

    /** The same of all that a stream gives, however long it is. */
    public static String digest(InputStream bytes) throws IOException {
        MessageDigest digest = sha256();
        byte[] piece = new byte[PIECE];
        for (int n = bytes.read(piece); n >= 0; n = bytes.read(piece)) digest.update(piece, 0, n);
        return HexFormat.of().formatHex(digest.digest());
    }

    private static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }
}
