package linnet.render;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.HexFormat;
import linnet.digest.Sha256;
import linnet.dsp.filter.Biquad;
import linnet.plan.Feed;
import linnet.plan.Level;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.setting.Value;

/** By what something is known again: two of one signature have the same samples. */
public final class Signature {
    private static final int PIECE = 1 << 16;
    /** Enough to tell the places of one chain apart. */
    private static final int PLACE_DIGITS = 24;

    private Signature() {}

    /** The signature of a sound file as it lies there, for what is remembered of it. */
    public static String ofFile(String digest, String engine) {
        return digest(engine + " file " + digest);
    }

    /** Stands for what a plan does up to a node, and the node itself. */
    static String upTo(Plan plan, int node) {
        StringBuilder text = new StringBuilder();
        chain(plan, node + 1, text);
        return digest(text.toString()).substring(0, PLACE_DIGITS);
    }

    /** The steps with their values, and how they are joined; what they are called makes no sound. */
    static void chain(Plan plan, int nodes, StringBuilder text) {
        for (Node node : plan.nodes().subList(0, nodes)) {
            text.append(node.work().map(w -> w.use().step().word() + " " + w.use().values().write() + " at " + w.tempo()).orElse("sum"));
            for (Biquad b : node.turn()) {
                text.append(" turned ").append(b.b0()).append(' ').append(b.b1()).append(' ').append(b.b2()).append(' ').append(b.a1()).append(' ')
                        .append(b.a2());
            }
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

    /** What a value is; what the text calls it makes no sound. */
    private static String value(Value value) {
        if (value instanceof Value.Amount a) return Double.toString(a.value());
        if (value instanceof Value.Notes n) return n.quarters() + " quarters";
        if (value instanceof Value.Relative r) return r.reference().words() + ' ' + r.index() + ' ' + r.amount();
        if (value instanceof Value.Named n) return n.word();
        if (value instanceof Value.Shifted s) return value(s.base()) + " and " + s.by();
        StringBuilder text = new StringBuilder("course");
        for (Value.Point p : ((Value.Curve) value).points()) text.append(' ').append(p.seconds()).append('=').append(value(p.value()));
        return text.toString();
    }

    /** Of a name. */
    public static String digest(String text) {
        return digest(text.getBytes(StandardCharsets.UTF_8));
    }

    /** SHA-256 in hexadecimal digits. */
    static String digest(byte[] bytes) {
        return Sha256.of(bytes);
    }

    /** The same of all that a stream gives, however long it is. */
    public static String digest(InputStream bytes) throws IOException {
        MessageDigest digest = Sha256.open();
        byte[] piece = new byte[PIECE];
        for (int n = bytes.read(piece); n >= 0; n = bytes.read(piece)) digest.update(piece, 0, n);
        return HexFormat.of().formatHex(digest.digest());
    }
}
