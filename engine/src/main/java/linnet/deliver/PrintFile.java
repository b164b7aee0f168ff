package linnet.deliver;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import linnet.audio.Bext;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.SoundFileException;
import linnet.audio.WavWriter;
import linnet.dsp.Decibels;
import linnet.dsp.loudness.FoldDown;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.loudness.Moments;
import linnet.dsp.loudness.TruePeak;
import linnet.render.Renderer;

/** A print of a song under way: measured as it is written, and described when it is done. */
public final class PrintFile implements AutoCloseable {
    private final Path path;
    private final Print form;
    private final Origin origin;
    private final WavWriter writer;
    private final Loudness loudness;
    private final TruePeak truePeak;
    /** Null unless it is folded down. */
    private final FoldDown mono;
    private final Moments moments;
    private Path sealed;
    private Origin.Sums sums;
    private long frames;
    private double first, last;

    /**
     * Begins one.
     *
     * @param folds whether it is listened to in mono too
     * @throws SoundFileException where it cannot be written there
     */
    public PrintFile(WantedPrint wanted, boolean folds) throws SoundFileException {
        path = wanted.path();
        form = wanted.form();
        origin = wanted.origin();
        writer = WavWriter.create(path, form);
        loudness = new Loudness(form.rate(), form.channels());
        truePeak = new TruePeak(form.channels());
        mono = folds && form.channels() == 2 ? new FoldDown(form.rate()) : null;
        moments = new Moments(form.rate(), form.channels());
    }

    /** Who take it, each of whom may do so on a thread of its own. */
    public List<Renderer.Sink> sinks() {
        return mono == null ? List.of(this::write) : List.of(this::write, mono::add);
    }

    private void write(double[][] x, int n) throws SoundFileException {
        if (n == 0) return;
        loudness.add(x, n);
        truePeak.add(x, n);
        if (mono != null) moments.add(x, n);
        double end = 0;
        for (int c = 0; c < form.channels(); c++) {
            if (frames == 0) first = Math.max(first, Math.abs(x[c][0]));
            end = Math.max(end, Math.abs(x[c][n - 1]));
        }
        last = end;
        frames += n;
        writer.write(x, n);
    }

    /** Lets the disk have what there is of it; beside who writes. */
    void toDisk() {
        writer.toDisk();
    }

    /**
     * Completes it with what is known only now, where it can be read, and still be given up.
     *
     * @throws SoundFileException where it cannot be written to its end
     */
    public void seal() throws SoundFileException {
        sealed = writer.seal(sums -> {
            this.sums = sums;
            return form.bext().measured(measured(), origin.withSound(sums).history(form));
        });
    }

    /** Gives it its name. */
    void release() throws SoundFileException {
        writer.release();
    }

    /** By what its sound is known; once it is sealed. */
    public Origin.Sums sums() {
        return sums;
    }

    public Path path() {
        return path;
    }

    /** Where it lies between {@link #seal} and {@link #release}. */
    Path sealed() {
        return sealed;
    }

    /** Samples of each channel so far. */
    public long frames() {
        return frames;
    }

    SampleFormat format() {
        return form.format();
    }

    private Bext.Loudness measured() {
        return new Bext.Loudness(loudness.integrated(), loudness.range(), truePeak.dbtp(), loudness.momentaryMax(), loudness.shortTermMax());
    }

    /** As the file tells it, and whoever reads that: what is told of one print is one figure. */
    public Bext.Loudness told() {
        return measured().asRead();
    }

    /** Loudness of each 100 ms, in LUFS. */
    public double[] stretches() {
        return loudness.stretches();
    }

    double truePeakDbtp() {
        return truePeak.dbtp();
    }

    /** Whether integers cannot hold it. */
    public boolean clips() {
        return form.format().clips(truePeak.dbfs());
    }

    /** Sample peak in dBFS; negative infinity for silence. */
    public double peakDbfs() {
        return truePeak.dbfs();
    }

    double peakDbfs(int channel) {
        return truePeak.dbfs(channel);
    }

    double firstDbfs() {
        return Decibels.ofGain(first);
    }

    double lastDbfs() {
        return Decibels.ofGain(last);
    }

    /** What it loses in mono, if that was asked for. */
    Optional<FoldDown.Loss> foldDown() {
        return Optional.ofNullable(mono).map(FoldDown::worst);
    }

    /** Of both sides; NaN where that was not asked for or makes no sense. */
    double correlation() {
        return mono == null ? Double.NaN : moments.correlation();
    }

    @Override
    public void close() throws SoundFileException {
        writer.close();
    }
}
