package linnet.list;

import java.util.zip.CRC32;
import linnet.dsp.Sound;

/**
 * By what a list knows its take.
 *
 * @param name of its file, without the folder
 * @param sound eight hexadecimal digits that differ where its samples do
 */
public record Take(String name, double rate, long frames, String sound) {
    private static final int BLOCK = 4800;

    /** Reads the whole sound. The digits are the CRC-32 of its samples as 32-bit floats, channel by channel in blocks of 4800. */
    public static Take of(String name, Sound sound) {
        CRC32 crc = new CRC32();
        double[][] x = new double[sound.channels()][BLOCK];
        byte[] bytes = new byte[4 * BLOCK];
        for (long at = 0; at < sound.frames(); at += BLOCK) {
            int n = (int) Math.min(BLOCK, sound.frames() - at);
            sound.read(at, x, n);
            for (double[] channel : x) {
                for (int i = 0; i < n; i++) {
                    int bits = Float.floatToRawIntBits((float) channel[i]);
                    for (int b = 0; b < 4; b++) bytes[4 * i + b] = (byte) (bits >> 8 * b);
                }
                crc.update(bytes, 0, 4 * n);
            }
        }
        return new Take(name, sound.rate(), sound.frames(), String.format("%08x", crc.getValue()));
    }
}
