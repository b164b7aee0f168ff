package linnet.dsp;

/** A sound held in memory. The arrays are not copied. */
public record Samples(double rate, double[]... data) implements Sound {
    @Override
    public int channels() {
        return data.length;
    }

    @Override
    public long frames() {
        return data[0].length;
    }

    @Override
    public void read(long from, double[][] into, int n) {
        for (int c = 0; c < data.length; c++) System.arraycopy(data[c], Math.toIntExact(from), into[c], 0, n);
    }
}
