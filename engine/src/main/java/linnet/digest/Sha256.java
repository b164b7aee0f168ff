package linnet.digest;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** By which sounds, texts and files are known again (FIPS 180-4). */
public final class Sha256 {
    private Sha256() {}

    public static MessageDigest open() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }

    /** Of these bytes, in hexadecimal digits. */
    public static String of(byte[] bytes) {
        return HexFormat.of().formatHex(open().digest(bytes));
    }
}
