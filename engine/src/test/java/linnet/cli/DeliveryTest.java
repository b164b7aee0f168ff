package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.DoubleUnaryOperator;
import linnet.audio.Bext;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.deliver.Delivery;
import linnet.deliver.PrintFile;
import linnet.deliver.WantedPrint;
import linnet.plan.SongPlanner;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Checks that fail a render: each is broken once, and once accepted. */
class DeliveryTest extends Called {
    @TempDir
    Path folder;

    private Path prints;

    @BeforeEach
    void folders() {
        prints = folder.resolve("prints");
    }

    private void take(String name, DoubleUnaryOperator left, DoubleUnaryOperator right) throws IOException {
        double[][] x = new double[2][48_000];
        for (int i = 0; i < x[0].length; i++) {
            x[0][i] = left.applyAsDouble(i / 48_000.0);
            x[1][i] = right.applyAsDouble(i / 48_000.0);
        }
        try (WavWriter writer = WavWriter.create(folder.resolve(name), Print.of(48_000, 2, SampleFormat.INT_24).overwriting())) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }

    private static double sine(double hz, double t) {
        return 0.3 * Math.sin(2 * Math.PI * hz * t);
    }

    private int render(String more) throws IOException {
        return song("", more);
    }

    /** @param parts beside the one, a line each */
    private int song(String parts, String more) throws IOException {
        Files.writeString(folder.resolve("song.yaml"), "song: x\ntempo: 120 bpm\nsections: { a: 1, end: 2 }\nparts:\n  one: { take: a.wav }\n" + parts + more);
        return run("render", folder.resolve("song.yaml"), "--out", prints, "--force");
    }

    private void fails(String song, String check, String said) throws IOException {
        if (Files.exists(prints.resolve("mix.wav"))) Files.delete(prints.resolve("mix.wav"));
        assertEquals(5, render(song), () -> out.toString());
        assertTrue(err.toString().contains("  " + check + ": " + said), err.toString());
        assertTrue(err.toString().contains("accept: [ " + check + " ]"), err.toString());
        try (var left = Files.list(prints)) {
            assertFalse(left.anyMatch(f -> !f.getFileName().toString().startsWith("sheet.")), "no print is left, whole or half");
        }
        assertEquals(0, render(song + "checks: { accept: [ " + check + " ] }\n"), () -> err.toString());
        assertTrue(err.toString().contains(check + ": " + said), err.toString());
        assertTrue(err.toString().contains("; accepted"), err.toString());
    }

    @Test
    void aStartThatClicks() throws IOException {
        take("a.wav", t -> t < 0.5 ? 0.3 * Math.cos(2 * Math.PI * 220 * t) : 0, t -> 0);
        fails("prints: [ one ]\n", "tails", "one.wav begins at -10.5 dBFS: it clicks");
    }

    /** A script finds the checks in the fault as it finds them in the answer. */
    @Test
    void whatFailsIsInTheJsonToo() throws IOException {
        take("a.wav", t -> t < 0.5 ? 0.3 * Math.cos(2 * Math.PI * 220 * t) : 0, t -> 0);
        render("prints: [ one ]\n");
        assertEquals(5, run("render", folder.resolve("song.yaml"), "--out", prints, "--json"), err::toString);
        JsonArray failed = checks(JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonObject("error"));
        JsonObject tails = failed.asList().stream().map(JsonElement::getAsJsonObject).filter(c -> c.get("check").getAsString().equals("tails")).findFirst()
                .orElseThrow();
        assertEquals("broken", tails.get("state").getAsString());
        assertTrue(tails.get("text").getAsString().startsWith("one.wav begins at -10.5 dBFS"), tails::toString);
    }

    private static JsonArray checks(JsonObject answer) {
        assertTrue(answer.has("checks"), answer::toString);
        return answer.getAsJsonArray("checks");
    }

    /** As one is that still sounds after ten minutes, where a tail is given up. */
    @Test
    void aTailThatIsCut() throws Exception {
        Path text = Files.writeString(folder.resolve("song.yaml"), "song: x\ntempo: 120 bpm\nsections: { a: 1, end: 2 }\nparts: { one: { take: a.wav } }\n"
                + "prints: [ one ]\n");
        Song song = SongReader.read(text, Builtins.catalogue());
        double[][] x = new double[2][480];
        for (int i = 0; i < 480; i++) x[0][i] = 0.3 * i / 479;
        Origin origin = Origin.of("test", "one", 0, 0, "0".repeat(64), List.of());
        Print form = Print.of(48_000, 2, SampleFormat.INT_24);
        form = form.described(new Bext("one", "test", "", "", "", 0, Bext.Loudness.UNTOLD, origin.history(form)));
        try (PrintFile print = new PrintFile(new WantedPrint(folder.resolve("one.wav"), form, origin), false)) {
            print.sinks().get(0).write(x, 480);
            print.seal();
            var findings = new Delivery(song, SongPlanner.plan(song, 48_000, List.of(2)), Map.of("one", print), Map.of()).findings(1);
            assertTrue(findings.contains(new Delivery.Finding(Song.Check.TAILS, Delivery.State.BROKEN, "one.wav ends at -10.5 dBFS: its tail is cut")),
                    findings.toString());
            assertEquals(Exit.CHECK, assertThrows(Refusal.class, () -> SongJob.refuse(text, findings)).code());
        }
    }

    /** The noise of a room is no click; it is told. */
    @Test
    void aStartInTheRoomOfATakeIsTold() throws IOException {
        take("a.wav", t -> 0.001 * Math.cos(2 * Math.PI * 220 * t), t -> 0);
        assertEquals(0, render("prints: [ one ]\n"), () -> err.toString());
        assertTrue(err.toString().contains("tails: a print begins or ends in the room of a take, at -60.0 dBFS"), err.toString());
    }

    /** The song has a form of two seconds and the take one: nothing is cut there. A stretch is cut where it was asked to be. */
    @Test
    void aStretchMayBeginAndEndAnywhere() throws IOException {
        take("a.wav", t -> sine(220, t), t -> sine(220, t));
        assertEquals(0, render("prints: [ { print: one, from: 0.3 s, to: 0.5 s } ]\n"), () -> err.toString());
    }

    @Test
    void aMixOverItsCeiling() throws IOException {
        take("a.wav", t -> sine(220, t), t -> sine(220, t));
        String own = "prints: [ mix ]\n";
        assertEquals(5, render(own + "checks: { ceiling: -12 dBTP }\n"), () -> out.toString());
        assertTrue(err.toString().contains("  peak: mix.wav has a true peak of -10.4"), err.toString());
        assertTrue(err.toString().contains("(-12 dBTP or less is wanted); end the chain of the mix with '- limit: { ceiling: -12 dBTP }'"), err.toString());
        assertEquals(0, render(own + "checks: { ceiling: -12 dBTP, accept: peak }\n"), () -> err.toString());
        assertEquals(0, render(own + "mix: { chain: [ limit: { ceiling: -12 dBTP } ] }\nchecks: { ceiling: -12 dBTP }\n"), () -> err.toString());
    }

    /** As {@link #song}, with no alternate mix there that was checked before. */
    private int anew(String parts, String more) throws IOException {
        Files.deleteIfExists(prints.resolve("mix without two.wav"));
        return song(parts, more);
    }

    /**
     * What is left of a mix without a part that lay against the others may be higher than it: as a share of the mix it stays, and is told; where the song asks
     * for a ceiling it fails.
     */
    @Test
    void anAlternateMixOverTheCeilingOfTheMix() throws IOException {
        take("a.wav", t -> 2 * sine(220, t), t -> 2 * sine(220, t));
        take("b.wav", t -> -sine(220, t), t -> -sine(220, t));
        String two = "  two: { take: b.wav }\n", three = "prints: [ mix, mix without two, vocals ]\n", mix = "mix: { ceiling: -7 dBTP }\n";
        String said = "peak: mix without two.wav has a true peak of -4.4",
                remedy = ", over the -7 dBTP of the mix: as a share of that it is not limited by itself; where it is played alone turn it down by 2.6 dB, or "
                + "lower the ceiling of the mix";
        assertEquals(0, anew(two, three + mix), () -> err.toString());
        assertTrue(err.toString().lines().anyMatch(l -> l.startsWith(said) && l.endsWith(remedy)), err.toString());
        assertFalse(err.toString().contains("vocals.wav"), err.toString());
        String sheet = Files.readString(prints.resolve("sheet.md"));
        assertTrue(sheet.substring(sheet.indexOf("To look at")).contains("mix without two.wav has a true peak of"), sheet);
        assertEquals(0, anew(two, three + mix + "checks: { ceiling: -7 dBTP }\n"), () -> err.toString());
        assertTrue(err.toString().lines().anyMatch(l -> l.startsWith(said) && l.endsWith(remedy)), err.toString());
        assertEquals(0, anew(two, three + "mix: { chain: [ limit: { ceiling: -7 dBTP } ] }\n"), () -> err.toString());
        assertTrue(err.toString().contains(said), err.toString());
        assertEquals(0, anew(two, three), () -> err.toString());
        assertFalse(err.toString().contains("peak"), err.toString());
    }

    @Test
    void aMixThatVanishesInMono() throws IOException {
        take("a.wav", t -> sine(220, t) + sine(3000, t), t -> sine(220, t) - sine(3000, t));
        fails("prints: [ mix ]\n", "mono", "mix.wav loses at most ");
        take("a.wav", t -> sine(220, t), t -> -0.5 * sine(220, t));
        fails("prints: [ mix ]\n", "mono", "mix.wav loses at most 10.0 dB in mono");
    }

    /** A sixth of a turn less than against each other: no band loses half, and yet what one side pushes the other pulls. */
    @Test
    void aMixWhoseSidesAreAgainstEachOther() throws IOException {
        DoubleUnaryOperator fade = t -> Math.min(1, 50 * Math.min(t, 1 - t));
        take("a.wav", t -> fade.applyAsDouble(t) * sine(220, t), t -> fade.applyAsDouble(t) * sine(220, t + 100 / 360.0 / 220));
        // The mean of both has cos(50 degrees) of either.
        fails("prints: [ mix ]\n", "mono", "mix.wav loses at most 3.8 dB in mono");
        assertTrue(err.toString().contains("(6 dB or less is wanted), correlation -0.17: its sides are against each other; accepted"), err.toString());
    }

    /** Of a stem that is asked for with fewer bits no more is wanted than those can give. */
    @Test
    void aStemOfFewerBitsThanTheMixIsNoFault() throws IOException {
        take("a.wav", t -> sine(220, t), t -> sine(330, t));
        assertEquals(0, render("prints: [ { print: mix, depth: float }, { print: one, depth: 16-bit } ]\n"), err::toString);
        String sheet = Files.readString(prints.resolve("sheet.md"));
        String kept = ".*stems .* 1 stem makes the mix within -[89]\\d\\.\\d dBFS \\(-62 dBFS or less is wanted\\).*";
        assertTrue(sheet.lines().anyMatch(l -> l.matches(kept)), sheet);
    }

    /** A stem without bus that is none of the mix without bus: the mix itself, with its stems, has another check. */
    @Test
    void stemsWithoutBusThatMakeAnotherMix() throws Exception {
        Path text = Files.writeString(folder.resolve("song.yaml"), "song: x\ntempo: 120 bpm\nsections: { a: 1, end: 2 }\nparts: { one: { take: a.wav } }\n"
                + "prints: [ mix, one, mix without bus, one without bus ]\n");
        Song song = SongReader.read(text, Builtins.catalogue());
        Map<String, PrintFile> files = new LinkedHashMap<>();
        for (Song.Wanted w : song.prints()) {
            double[][] x = new double[2][480];
            for (int i = 0; i < 480; i++) x[0][i] = x[1][i] = (w.called().equals("one without bus") ? 0.25 : 0.5) * Math.sin(2 * Math.PI * i / 480);
            Origin origin = Origin.of("test", w.called(), 0, 0, "0".repeat(64), List.of());
            Print form = Print.of(48_000, 2, SampleFormat.FLOAT_32);
            form = form.described(new Bext(w.called(), "test", "", "", "", 0, Bext.Loudness.UNTOLD, origin.history(form)));
            PrintFile print = new PrintFile(new WantedPrint(folder.resolve(w.called() + ".wav"), form, origin), w.called().equals("mix"));
            files.put(w.called(), print);
            print.sinks().get(0).write(x, 480);
            print.seal();
        }
        try {
            List<String> stems = new Delivery(song, SongPlanner.plan(song, 48_000, List.of(2)), files, Map.of()).findings(1).stream()
                    .filter(f -> f.check() == Song.Check.STEMS).map(f -> f.state().word() + ": " + f.text()).toList();
            assertEquals(List.of("kept: 1 stem makes the mix to the bit (-120 dBFS or less is wanted)",
                    "broken: 1 stem without bus makes the mix without bus within -12.0 dBFS (-120 dBFS or less is wanted)"), stems);
        } finally {
            for (PrintFile p : files.values()) p.close();
        }
    }

    /** What never goes through the chain of the mix is held to nothing that this ends with. */
    @Test
    void voicesWithoutBusOverTheCeilingOfTheMix() throws IOException {
        take("a.wav", t -> 2 * sine(220, t), t -> 2 * sine(220, t));
        assertEquals(0, render("prints: [ vocals without bus, one without bus, mix without bus ]\nmix: { ceiling: -7 dBTP }\n"), err::toString);
        assertFalse(err.toString().contains("peak"), err.toString());
    }

    @Test
    void aMixOnOneSide() throws IOException {
        take("a.wav", t -> sine(220, t), t -> 0);
        fails("prints: [ mix ]\n", "sides", "mix.wav is silent on the right");
    }

    @Test
    void acceptedIsOnlyWhatIsChecked() throws IOException {
        take("a.wav", t -> 0, t -> 0);
        assertEquals(3, render("prints: [ mix ]\nchecks: { accept: [ lengths ] }\n"));
        assertTrue(err.toString().contains("no check that can be accepted is called 'lengths' (there are stems, tails, sides, peak, mono)"), err.toString());
    }
}
