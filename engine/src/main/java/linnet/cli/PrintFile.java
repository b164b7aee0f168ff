package linnet.cli;

import java.nio.file.Path;
import linnet.audio.Bext;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SoundFileException;
import linnet.audio.WavWriter;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.loudness.SamplePeak;
import linnet.dsp.loudness.TruePeak;

/** A print of a song under way: measured as it is written, and described when it is done. */
final class PrintFile implements AutoCloseable {
    private final Path path;
    private final Print form;
    private final Origin origin;
    private final WavWriter writer;
    private final Loudness loudness;
    private final TruePeak truePeak;
    private final SamplePeak highest = new SamplePeak();

    /** @param form with the description it begins with */
    PrintFile(Path path, Print form, Origin origin) throws SoundFileException {
        this.path = path;
        this.form = form;
        this.origin = origin;
        writer = WavWriter.create(path, form);
        loudness = new Loudness(form.rate(), form.channels());
        truePeak = new TruePeak(form.channels());
    }

    void write(double[][] x, int n) throws SoundFileException {
        loudness.add(x, n);
        truePeak.add(x, n);
        highest.add(x, n);
        writer.write(x, n);
    }

    /** Gives it its name, and fills in what is known only now. */
    void finish() throws SoundFileException {
        writer.finish(digest -> {
            Bext b = form.bext();
            Bext.Loudness measured = new Bext.Loudness(loudness.integrated(), loudness.range(), truePeak.dbtp(), loudness.momentaryMax(), loudness.shortTermMax());
            return new Bext(b.description(), b.originator(), b.reference(), b.date(), b.time(), b.timeReference(), measured, origin.withSound(digest).history(form));
        });
    }

    Path path() {
        return path;
    }

    double integratedLufs() {
        return loudness.integrated();
    }

    double truePeakDbtp() {
        return truePeak.dbtp();
    }

    /** Whether integers cannot hold it. */
    boolean clips() {
        return !form.format().isFloat() && highest.dbfs() >= 0;
    }

    double peakDbfs() {
        return highest.dbfs();
    }

    @Override
    public void close() throws SoundFileException {
        writer.close();
    }
}
