package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.ByteArrayInputStream;
import java.util.Random;
import org.junit.jupiter.api.Test;

class SignatureTest {
    /** The example of FIPS 180-2, appendix B.1, and a stream in pieces against its bytes at once. */
    @Test
    void aStreamHasTheDigestOfItsBytes() throws Exception {
        assertEquals("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
                Signature.digest(new ByteArrayInputStream(new byte[] {'a', 'b', 'c'})));
        byte[] bytes = new byte[200_001];
        new Random(1).nextBytes(bytes);
        assertEquals(Signature.digest(bytes), Signature.digest(new ByteArrayInputStream(bytes)));
    }
}
