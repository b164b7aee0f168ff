package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.function.DoubleUnaryOperator;
import linnet.Browser;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import org.apache.commons.math3.distribution.BinomialDistribution;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;
import picocli.CommandLine;

/** The page of {@code compare} in a real browser, opened from disk. */
class ComparePageTest {
    private static final int RATE = 48_000, FRAMES = 3 * RATE;
    /** Two dithered sixteen-bit steps, at the gain of the page. */
    private static final double SIXTEEN_BITS = 2.0 / 32768;

    @TempDir
    static Path folder;

    private static Browser browser;
    private static Path page;

    @BeforeAll
    static void aPage() throws IOException {
        browser = Browser.open();
        Path low = wav("low.wav", t -> 0.2 * Math.sin(2 * Math.PI * 311 * t));
        Path high = wav("high.wav", t -> 0.7 * Math.sin(2 * Math.PI * 523 * t));
        page = compare("plain", low, high);
    }

    @AfterAll
    static void close() {
        if (browser != null) browser.close();
    }

    @BeforeEach
    void open() {
        browser.width(1280, 900);
        browser.console();
        browser.traffic();
        browser.show(page);
    }

    private static Path wav(String name, DoubleUnaryOperator at) throws IOException {
        Path file = folder.resolve(name);
        try (WavWriter writer = WavWriter.create(file, Print.of(RATE, 1, SampleFormat.FLOAT_32))) {
            double[][] x = new double[1][FRAMES];
            for (int i = 0; i < FRAMES; i++) x[0][i] = at.applyAsDouble((double) i / RATE);
            writer.write(x, FRAMES);
            writer.finish();
        }
        return file;
    }

    private static Path compare(String name, Object... words) {
        return write("compare", name, words);
    }

    private static Path write(String command, String name, Object... words) {
        Object[] all = Arrays.copyOf(words, words.length + 2);
        all[words.length] = "--out";
        all[words.length + 1] = folder.resolve(name);
        StringWriter err = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setErr(new PrintWriter(err, true));
        String[] texts = new String[all.length + 1];
        texts[0] = command;
        for (int i = 0; i < all.length; i++) texts[i + 1] = all[i].toString();
        assertEquals(0, line.execute(texts), err.toString());
        return folder.resolve(name).resolve("compare.html");
    }

    private static double number(Object value) {
        return ((Number) value).doubleValue();
    }

    private static double position() {
        return number(browser.run("return linnet.state.position"));
    }

    private static boolean plays() {
        return (boolean) browser.run("return linnet.state.playing");
    }

    private static double heard() {
        return number(browser.run("return linnet.state.heard"));
    }

    private static void sleep(int ms) {
        browser.await("setTimeout(arguments[1], arguments[0])", ms);
    }

    private static void quiet() {
        assertEquals(List.of(), browser.console());
        for (String message : browser.traffic()) {
            JsonObject event = JsonParser.parseString(message).getAsJsonObject().getAsJsonObject("message");
            if (!event.get("method").getAsString().equals("Network.requestWillBeSent")) continue;
            String url = event.getAsJsonObject("params").getAsJsonObject("request").get("url").getAsString();
            assertTrue(url.startsWith(folder.toUri().toString()) || url.startsWith("data:"), url);
        }
    }

    @Test
    void playsFromDiskWithoutARequestOrAnError() {
        assertFalse(plays());
        browser.find("#play").click();
        sleep(500);
        assertTrue(plays());
        double first = position();
        sleep(300);
        assertEquals(0.3 * RATE, position() - first, 0.25 * RATE);
        browser.find("#play").click();
        assertFalse(plays());
        double held = position();
        assertTrue(held > first);
        sleep(100);
        assertEquals(held, position());
        quiet();
    }

    /** The first version until the switch, the second after it, each at its own sample, and a straight mix for 5 ms between. */
    @Test
    void aSwitchKeepsTheSample() {
        @SuppressWarnings("unchecked")
        Map<String, Object> heard = (Map<String, Object>) browser.await("""
                const done = arguments[0], player = linnet.player;
                player.heard = 0;
                const offline = new OfflineAudioContext(1, 48000, 48000);
                player.open(offline);
                player.start(12000);
                const run = player.run;
                let switched;
                offline.suspend(0.5).then(() => { switched = offline.currentTime; player.hear(1); offline.resume(); });
                offline.startRendering().then(buffer => done({
                  begin: run.time, switched, volume: player.volume(), scale: JSON.parse(document.getElementById('data').textContent).scale,
                  gains: JSON.parse(document.getElementById('data').textContent).versions.map(v => v.gainDb),
                  sound: [...buffer.getChannelData(0)] }));
                """);
        @SuppressWarnings("unchecked")
        List<Number> sound = (List<Number>) heard.get("sound");
        @SuppressWarnings("unchecked")
        List<Number> gains = (List<Number>) heard.get("gains");
        long begin = Math.round(number(heard.get("begin")) * RATE), at = Math.round(number(heard.get("switched")) * RATE);
        double loud = number(heard.get("volume")) * number(heard.get("scale"));
        double low = 0.2 * loud * Math.pow(10, gains.get(0).doubleValue() / 20), high = 0.7 * loud * Math.pow(10, gains.get(1).doubleValue() / 20);
        long fade = Math.round(0.005 * RATE);
        for (int i = 0; i < RATE; i++) {
            double frame = 12000 + i - begin;
            double rise = Math.max(0, Math.min(1, (double) (i - begin) / fade));
            double share = Math.max(0, Math.min(1, (double) (i - at) / fade));
            double expected = rise * ((1 - share) * low * Math.sin(2 * Math.PI * 311 * frame / RATE)
                    + share * high * Math.sin(2 * Math.PI * 523 * frame / RATE));
            assertEquals(expected, sound.get(i).doubleValue(), SIXTEEN_BITS * number(heard.get("volume")), "sample " + i);
        }
    }

    /**
     * Before a switch, right after it and later on the same run is heard: by the clock of what plays, which a busy machine may let go on by a lot between two
     * lines of a script, it began at one and the same sample. A run that was begun anew would have lost what it takes to begin.
     */
    @Test
    void aSwitchWhilePlayingKeepsThePosition() {
        browser.find("#play").click();
        for (int i = 0; i < 6; i++) {
            // From near the beginning, and anew where it is over before it was listened to.
            @SuppressWarnings("unchecked")
            List<List<Number>> readings = (List<List<Number>>) browser.await("""
                    const [version, done] = arguments, clock = linnet.player.context;
                    const read = () => {
                      const before = clock.currentTime, { position, heard, playing } = linnet.state;
                      return [before, position, clock.currentTime, playing ? heard : -1];
                    };
                    const listen = () => {
                      const before = read();
                      document.querySelectorAll('.version')[version].click();
                      const after = read();
                      setTimeout(() => done([before, after, read()]), 50);
                    };
                    const begin = () => { linnet.player.seek(12000); linnet.player.play(); wait(); };
                    const wait = () => linnet.state.position > 12000 ? listen() : linnet.state.playing ? setTimeout(wait, 10) : begin();
                    begin();
                    """, (i + 1) % 2);
            double earliest = Double.NEGATIVE_INFINITY, latest = Double.POSITIVE_INFINITY;
            for (List<Number> r : readings) {
                earliest = Math.max(earliest, number(r.get(1)) - number(r.get(2)) * RATE);
                latest = Math.min(latest, number(r.get(1)) + 1 - number(r.get(0)) * RATE);
            }
            // A thousandth of a sample is rounding.
            assertTrue(earliest < latest + 1e-3, "moved by " + (earliest - latest) + ": " + readings);
            assertTrue(number(readings.get(2).get(0)) > number(readings.get(0).get(0)), "nothing plays: " + readings);
            assertEquals((i + 1) % 2, number(readings.get(1).get(3)), "what is heard: " + readings);
            assertEquals((i + 1) % 2, number(readings.get(2).get(3)), "what is heard: " + readings);
        }
        quiet();
    }

    /** A sine of 311 Hz has no whole number of cycles in the loop: a plain jump would be a step of up to its height. */
    @Test
    void aLoopGoesRoundWithoutAClick() {
        @SuppressWarnings("unchecked")
        Map<String, Object> heard = (Map<String, Object>) browser.await("""
                const done = arguments[0], player = linnet.player;
                player.heard = 0;
                player.open(new OfflineAudioContext(1, 96000, 48000));
                player.setLoop({ from: 20000, to: 32345 });
                player.start(20000);
                player.context.startRendering().then(buffer => done({ volume: player.volume(), begin: player.run.time, sound: [...buffer.getChannelData(0)] }));
                """);
        @SuppressWarnings("unchecked")
        List<Number> sound = (List<Number>) heard.get("sound");
        int begin = (int) Math.round(number(heard.get("begin")) * RATE);
        double highest = 0, steepest = 0;
        for (int i = 1; i < sound.size(); i++) {
            highest = Math.max(highest, Math.abs(sound.get(i).doubleValue()));
            steepest = Math.max(steepest, Math.abs(sound.get(i).doubleValue() - sound.get(i - 1).doubleValue()));
        }
        assertTrue(steepest < 1.15 * highest * 2 * Math.PI * 311 / RATE, "a step of " + steepest + " at a height of " + highest);
        int round = 32345 - 20000;
        for (int i = begin + 1000; i < begin + round - 1000; i++) assertEquals(sound.get(i).doubleValue(), sound.get(i + 3 * round).doubleValue(), 1e-9);
    }

    @Test
    void loopsWhileItPlays() {
        browser.run("linnet.player.seek(24000)");
        browser.find("#loop-from").click();
        browser.run("linnet.player.seek(36000)");
        browser.find("#loop-to").click();
        browser.find("#play").click();
        for (int i = 0; i < 8; i++) {
            sleep(90);
            double at = position();
            assertTrue(at >= 24000 && at < 36000, "at " + at);
        }
        assertTrue(plays());
        browser.find("#loop").click();
        assertNull(browser.run("return linnet.state.loop"));
        quiet();
    }

    @Test
    void aDragMarksALoopAndAClickMoves() {
        browser.run("""
                const o = document.getElementById('overview'), box = o.getBoundingClientRect();
                const at = (kind, share) => o.dispatchEvent(new PointerEvent(kind, { clientX: box.left + share * box.width, pointerId: 1, bubbles: true }));
                o.setPointerCapture = () => {};
                at('pointerdown', 0.25); at('pointerup', 0.75);
                """);
        assertEquals(0.25 * FRAMES, number(browser.run("return linnet.state.loop.from")), 2);
        assertEquals(0.75 * FRAMES, number(browser.run("return linnet.state.loop.to")), 2);
        new org.openqa.selenium.interactions.Actions(((org.openqa.selenium.WrapsDriver) browser.find("#overview")).getWrappedDriver())
                .click(browser.find("#overview")).perform();
        assertEquals(FRAMES / 2.0, position(), FRAMES / 200.0);
    }

    @Test
    void everythingCanBeDoneWithKeys() {
        browser.press(" ");
        sleep(200);
        assertTrue(plays());
        browser.press("2");
        assertEquals(1, heard());
        browser.press("1");
        assertEquals(0, heard());
        browser.press(" ");
        assertFalse(plays());
        browser.press(Keys.HOME);
        assertEquals(0, position());
        browser.press(Keys.ARROW_RIGHT);
        assertEquals(RATE, position());
        browser.press("[");
        browser.press(Keys.ARROW_RIGHT);
        browser.press("]");
        assertEquals(RATE, number(browser.run("return linnet.state.loop.from")));
        assertEquals(2 * RATE, number(browser.run("return linnet.state.loop.to")));
        browser.press("l");
        assertNull(browser.run("return linnet.state.loop"));
        browser.find("#keys").findElement(org.openqa.selenium.By.xpath("ancestor::details/summary")).click();
        browser.find("#keys").click();
        browser.press("2");
        assertEquals(0, heard());
        quiet();
    }

    /** The sentence against the binomial distribution of a general library; twelve are needed for less than one in twenty. */
    @Test
    void theBlindTestCountsSixteenTrials() {
        for (int right : new int[] {16, 12, 11, 0}) {
            browser.show(page);
            browser.run("let n = 0; Crypto.prototype.getRandomValues = a => { a[0] = n++ % 3; return a; }");
            browser.find("#begin").click();
            for (int trial = 1; trial <= 16; trial++) {
                assertEquals("Trial " + trial + " of 16", browser.find("#trial-state").getText());
                for (String tells : List.of(".versions", "table", "#result", "#spectrogram", ".gain")) assertFalse(browser.find(tells).isDisplayed(), tells);
                assertEquals("Trial " + trial + " of 16. You hear A.", browser.find("#status").getText());
                assertEquals("Hear A", browser.find(".hear[aria-pressed=true]").getText());
                browser.press("x");
                assertEquals("Hear X", browser.find(".hear[aria-pressed=true]").getText());
                int x = trial % 3 & 1;
                browser.all(".answer").get(trial <= right ? x : 1 - x).click();
            }
            String verdict = browser.find("#result").getText();
            double p = 1 - new BinomialDistribution(16, 0.5).cumulativeProbability(right - 1);
            assertTrue(verdict.startsWith("You were right in " + right + " of 16."), verdict);
            assertTrue(verdict.contains(String.format(java.util.Locale.ROOT, "(p = %.4f)", p)), verdict + " but " + p);
            assertEquals(p <= 0.05, verdict.contains("it is fair to say that you heard a difference"), verdict);
            assertEquals(p > 0.05, verdict.contains("no proof of sameness"), verdict);
        }
        quiet();
    }

    @Test
    void aBlindTestEndedEarlyTellsNoScore() {
        browser.find("#begin").click();
        browser.all(".answer").get(0).click();
        browser.find("#give-up").click();
        String verdict = browser.find("#result").getText();
        assertTrue(verdict.contains("ended early"), verdict);
        assertFalse(verdict.matches("(?s).*\\d.*"), verdict);
    }

    /** In the blind test a switch to the same version sounds like one to the other: both go through the same short silence. */
    @Test
    void aBlindSwitchTellsNothing() {
        @SuppressWarnings("unchecked")
        List<Number> sound = (List<Number>) browser.await("""
                const done = arguments[0], player = linnet.player;
                player.heard = 0;
                player.dips = true;
                const offline = new OfflineAudioContext(1, 48000, 48000);
                player.open(offline);
                player.start(12000);
                offline.suspend(0.256).then(() => { player.hear(0); offline.resume(); });
                offline.startRendering().then(buffer => done([...buffer.getChannelData(0)]));
                """);
        int at = (int) Math.round(0.256 * RATE);
        double dip = 0, away = 0;
        for (int i = -20; i <= 20; i++) {
            dip = Math.max(dip, Math.abs(sound.get(at + RATE / 200 + i).doubleValue()));
            away = Math.max(away, Math.abs(sound.get(at + RATE / 50 + i * 4).doubleValue()));
        }
        assertTrue(dip < 0.15 * away, dip + " of " + away);
    }

    @Test
    void hostileNamesAreText() throws IOException {
        String inFile = "\"'><img src=x onerror=pwned=1><script>pwned=1<&amp;{{script}}";
        Path one = wav(inFile + ".wav", t -> 0.2 * Math.sin(2 * Math.PI * 311 * t));
        String inYaml = "</script><script>window.pwned=1</script><!-- \u202e\u05d0\u05d1\u05d2 \" onload='pwned=1'> ";
        String title = inYaml + "long ".repeat(850) + "end";
        Path chain = folder.resolve("hostile.yaml");
        Files.writeString(chain, "chain: " + new com.google.gson.GsonBuilder().disableHtmlEscaping().create().toJson(title)
                + "\nsteps:\n  - trim: { level: -3 dB }\n");
        Path hostile = compare("hostile", chain, "--take", one, "--dry");
        browser.width(320, 800);
        browser.show(hostile);
        assertNull(browser.run("return window.pwned || null"));
        assertEquals(inFile + ".wav", browser.title());
        assertEquals(inFile + ".wav", browser.run("return document.querySelector('h1').textContent"));
        assertEquals(inFile + ".wav, the take", browser.run("return document.querySelectorAll('.version .name')[0].textContent"));
        assertEquals(title.strip() + " (hostile.yaml)", browser.run("return document.querySelectorAll('.version .name')[1].textContent"));
        assertEquals(0L, browser.run("return document.querySelectorAll('img').length"));
        // The data and the script; those that held the sound are read and gone.
        assertEquals(2L, browser.run("return document.querySelectorAll('script').length"));
        browser.all(".version").get(1).click();
        assertTrue(browser.find("#status").getText().contains("</script><script>"));
        fits();
        quiet();
    }

    @Test
    void aSweepShowsTheCurveOfEachValue() throws IOException {
        Path chain = folder.resolve("sweep.yaml");
        Files.writeString(chain, "steps:\n  - eq: [ { bell: 1 kHz, gain: -3 dB } ]\n");
        Path swept = write("sweep", "swept", chain, folder.resolve("low.wav"), "--vary", "eq.gain of band 1 = -12 dB, 0 dB, 6 dB");
        browser.show(swept);
        assertEquals(3, browser.all("#curves path").size());
        String first = browser.find("#curves .heard").getAttribute("d");
        browser.run("linnet.player.seek(60000)");
        browser.press("3");
        assertEquals(60_000, position());
        assertFalse(first.equals(browser.find("#curves .heard").getAttribute("d")));
        assertEquals("6 dB", browser.find(".version[aria-pressed=true] .name").getText());
        quiet();
    }

    /** What a script on the page might try is refused by the page's own policy. */
    @Test
    void itsPolicyForbidsEveryRequest() {
        assertEquals("connect-src", browser.await("""
                const done = arguments[0];
                document.addEventListener('securitypolicyviolation', e => done(e.effectiveDirective));
                fetch('http://127.0.0.1:9/').catch(() => {});
                """));
        assertEquals("img-src", browser.await("""
                const done = arguments[0];
                document.addEventListener('securitypolicyviolation', e => done(e.effectiveDirective));
                new Image().src = 'http://127.0.0.1:9/';
                """));
        browser.run("const s = document.createElement('script'); s.textContent = 'window.pwned = 1'; document.body.append(s)");
        assertNull(browser.run("return window.pwned || null"));
    }

    @Test
    void itFitsANarrowScreen() {
        browser.width(320, 800);
        browser.show(page);
        fits();
        // What a table is about is read without scrolling it.
        browser.run("document.querySelectorAll('details').forEach(d => d.open = true)");
        assertEquals(List.of(),
                browser.run("return [...document.querySelectorAll('p, caption')].filter(e => e.getBoundingClientRect().right > innerWidth).map(e => "
                        + "e.textContent)"));
        browser.find("#begin").click();
        fits();
    }

    /** Nothing reaches beyond the screen but tables, which scroll by themselves. */
    private static void fits() {
        assertEquals(List.of(), browser.run("""
                if (document.documentElement.scrollWidth <= innerWidth) return [];
                return [...document.querySelectorAll('body *')].filter(e => !e.closest('.wide') && e.getBoundingClientRect().right > innerWidth).map(e => e.outerHTML.slice(0, 80));
                """));
    }

    /** Every control has a name that a screen reader can say, and what changes is said. */
    @Test
    void aScreenReaderFindsItsWay() {
        assertEquals(List.of(), browser.run("""
                return [...document.querySelectorAll('button, input, select')].filter(e => !(e.textContent.trim() || e.labels && e.labels.length)).map(e => e.outerHTML)
                """));
        assertEquals(List.of(), browser.run("""
                return [...document.querySelectorAll('canvas, svg')].filter(e => e.getAttribute('aria-hidden') !== 'true' && !(e.getAttribute('role') === 'img' && (e.getAttribute('aria-label') || e.getAttribute('aria-labelledby')))).map(e => e.outerHTML)
                """));
        assertEquals(0L, browser.run("return [...document.querySelectorAll('th')].filter(e => !e.scope).length"));
        browser.press("2");
        assertTrue(browser.find("#status[aria-live=polite]").getText().contains("high.wav"));
    }
}
