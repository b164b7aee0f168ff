package linnet.arch;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.fields;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noFields;
import static com.tngtech.archunit.library.Architectures.layeredArchitecture;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaCall;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaModifier;
import com.tngtech.archunit.core.domain.properties.HasName;
import com.tngtech.archunit.core.domain.properties.HasOwner;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.library.GeneralCodingRules;
import java.util.Collection;
import java.util.Map;
import linnet.step.Kernel;
import linnet.step.Step;

/** The rooms of the house: who may know whom, and what only one room may touch. */
@AnalyzeClasses(packages = "linnet", importOptions = ImportOption.DoNotIncludeTests.class)
class RoomsTest {
    @ArchTest
    static final ArchRule ARROWS_POINT_DOWN = layeredArchitecture().consideringOnlyDependenciesInLayers()
            .layer("dsp").definedBy("linnet.dsp..")
            .layer("text").definedBy("linnet.text..")
            .layer("setting").definedBy("linnet.setting..")
            .layer("hear").definedBy("linnet.hear..")
            .layer("tidy").definedBy("linnet.tidy..")
            .layer("step").definedBy("linnet.step")
            .layer("builtin").definedBy("linnet.step.builtin..")
            .layer("yaml").definedBy("linnet.yaml..")
            .layer("chain").definedBy("linnet.chain..")
            .layer("sheet").definedBy("linnet.sheet..")
            .layer("song").definedBy("linnet.song..")
            .layer("revision").definedBy("linnet.revision..")
            .layer("plan").definedBy("linnet.plan..")
            .layer("render").definedBy("linnet.render..")
            .layer("weigh").definedBy("linnet.weigh..")
            .layer("store").definedBy("linnet.store..")
            .layer("audio").definedBy("linnet.audio..")
            .layer("report").definedBy("linnet.report..")
            .layer("publish").definedBy("linnet.publish..")
            .layer("draft").definedBy("linnet.draft..")
            .layer("demo").definedBy("linnet.demo..")
            .layer("cli").definedBy("linnet.cli..")
            .whereLayer("dsp").mayNotAccessAnyLayer()
            .whereLayer("text").mayNotAccessAnyLayer()
            .whereLayer("setting").mayOnlyAccessLayers("text")
            .whereLayer("hear").mayOnlyAccessLayers("dsp")
            .whereLayer("tidy").mayOnlyAccessLayers("hear", "dsp")
            .whereLayer("step").mayOnlyAccessLayers("setting", "text", "hear", "dsp")
            .whereLayer("builtin").mayOnlyAccessLayers("step", "setting", "tidy", "hear", "dsp")
            .whereLayer("yaml").mayOnlyAccessLayers("text")
            .whereLayer("chain").mayOnlyAccessLayers("step", "setting", "yaml", "text")
            .whereLayer("song").mayOnlyAccessLayers("tidy", "chain", "step", "setting", "yaml", "text")
            .whereLayer("sheet").mayOnlyAccessLayers("hear", "setting", "yaml", "text", "dsp")
            .whereLayer("revision").mayOnlyAccessLayers("song", "setting", "yaml", "text")
            .whereLayer("plan").mayOnlyAccessLayers("tidy", "song", "chain", "step", "setting", "text", "dsp")
            .whereLayer("render").mayOnlyAccessLayers("tidy", "plan", "chain", "step", "hear", "setting", "text", "dsp")
            .whereLayer("weigh").mayOnlyAccessLayers("render", "plan", "song", "chain", "step", "hear", "setting", "text", "dsp")
            .whereLayer("store").mayOnlyAccessLayers("render", "hear", "dsp")
            .whereLayer("audio").mayOnlyAccessLayers("dsp")
            .whereLayer("report").mayOnlyAccessLayers("step", "audio", "hear", "dsp")
            .whereLayer("publish").mayOnlyAccessLayers("song", "step", "setting")
            .whereLayer("draft").mayOnlyAccessLayers("hear", "text", "dsp")
            .whereLayer("demo").mayOnlyAccessLayers("audio", "dsp")
            .whereLayer("cli").mayNotBeAccessedByAnyLayer();

    @ArchTest
    static final ArchRule NO_CYCLES = slices().matching("linnet.(*)..").should().beFreeOfCycles();

    @ArchTest
    static final ArchRule DSP_KNOWS_NO_LIBRARY_BUT_MATHS = noClasses().that().resideInAPackage("linnet.dsp..").should().dependOnClassesThat()
            .resideOutsideOfPackages("linnet.dsp..", "java.lang..", "java.util..", "java.security..", "org.apache.commons.math3..", "org.jtransforms..", "pl.edu.icm..");

    /** One way to say that every Java has it. */
    @ArchTest
    static final ArchRule ONE_CLASS_OPENS_DIGESTS = noClasses().that().doNotHaveFullyQualifiedName("linnet.dsp.Sha256")
            .should().callMethod(java.security.MessageDigest.class, "getInstance", String.class);

    @ArchTest
    static final ArchRule ONE_CLASS_SEES_THE_FOURIER_LIBRARY = noClasses().that().doNotHaveFullyQualifiedName("linnet.dsp.spectral.Fft")
            .should().dependOnClassesThat().resideInAnyPackage("org.jtransforms..", "pl.edu.icm..");

    @ArchTest
    static final ArchRule ONE_ROOM_SEES_YAML = noClasses().that().resideOutsideOfPackage("linnet.yaml..").should().dependOnClassesThat().resideInAPackage("org.yaml..");

    @ArchTest
    static final ArchRule ONLY_CLI_SEES_THE_COMMAND_LINE =
            noClasses().that().resideOutsideOfPackage("linnet.cli..").should().dependOnClassesThat().resideInAnyPackage("picocli..", "me.tongfei..");

    @ArchTest
    static final ArchRule ONLY_CLI_PRINTS_OR_EXITS = noClasses().that().resideOutsideOfPackage("linnet.cli..")
            .should().accessField(System.class, "out").orShould().accessField(System.class, "err").orShould().callMethod(System.class, "exit", int.class);

    @ArchTest
    static final ArchRule ONLY_RENDER_HAS_THREADS = noClasses().that().resideOutsideOfPackage("linnet.render..")
            .should().dependOnClassesThat().areAssignableTo(java.util.concurrent.Executor.class).orShould().dependOnClassesThat().areAssignableTo(Thread.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.util.concurrent.Future.class);

    /** An unfinished print has a name of chance, so that two renders into a folder never meet; nothing heard comes of it. */
    @ArchTest
    static final ArchRule NO_LOOSE_CHANCE = noClasses().that().doNotHaveFullyQualifiedName("linnet.audio.WavWriter").should().callMethod(Math.class, "random").orShould().dependOnClassesThat().areAssignableTo(java.util.Random.class);

    @ArchTest
    static final ArchRule NO_CLOCK_BELOW_RENDER = noClasses().that().resideInAnyPackage("linnet.dsp..", "linnet.text..", "linnet.setting..", "linnet.hear..", "linnet.step..",
                    "linnet.yaml..", "linnet.chain..", "linnet.sheet..", "linnet.plan..", "linnet.audio..", "linnet.demo..")
            .should().callMethod(System.class, "nanoTime").orShould().callMethod(System.class, "currentTimeMillis").orShould().dependOnClassesThat().resideInAPackage("java.time..");

    @ArchTest
    static final ArchRule NO_STATIC_STATE = fields().that().areStatic().and().areDeclaredInClassesThat().resideInAPackage("linnet..").should().beFinal();

    @ArchTest
    static final ArchRule STEPS_ARE_CLOSED = classes().that().areAssignableTo(Step.class).and().doNotHaveFullyQualifiedName("linnet.step.Step")
            .should().bePackagePrivate().andShould().haveModifier(JavaModifier.FINAL);

    @ArchTest
    static final ArchRule STEPS_HOLD_HANDLES_ONLY = fields().that().areDeclaredInClassesThat().areAssignableTo(Step.class).and().doNotHaveModifier(JavaModifier.SYNTHETIC)
            .should().bePrivate().andShould().beFinal();

    @ArchTest
    static final ArchRule STEPS_ARE_MADE_IN_ONE_PLACE = noClasses().that().doNotHaveFullyQualifiedName("linnet.step.builtin.Builtins")
            .should().callConstructorWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.owner(JavaClass.Predicates.assignableTo(Step.class)))
                    .and(DescribedPredicate.not(JavaCall.Predicates.target(HasOwner.Predicates.With.owner(JavaClass.Predicates.type(Step.class))))));

    @ArchTest
    static final ArchRule KERNELS_HOLD_NO_COLLECTION = noFields().that().areDeclaredInClassesThat().implement(Kernel.class)
            .should().haveRawType(JavaClass.Predicates.assignableTo(Collection.class)).orShould().haveRawType(JavaClass.Predicates.assignableTo(Map.class));

    /** A virtual machine may give other last bits for the functions of {@code Math}, but not for those of {@code StrictMath}. */
    @ArchTest
    static final ArchRule SAME_BITS_ON_EVERY_MACHINE = noClasses().that().resideOutsideOfPackages("linnet.cli..", "linnet.report..")
            .should().callMethodWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.<JavaClass>owner(JavaClass.Predicates.type(Math.class)))
                    .and(JavaCall.Predicates.target(HasName.Predicates.nameMatching(
                            "sin|cos|tan|asin|acos|atan|atan2|sinh|cosh|tanh|exp|expm1|log|log10|log1p|pow|cbrt|hypot"))));

    @ArchTest
    static final ArchRule A_PLAN_IS_RECORDS = classes().that().resideInAPackage("linnet.plan").and().areTopLevelClasses().and().haveSimpleNameNotEndingWith("Planner")
            .and().doNotHaveSimpleName("package-info").should().beRecords().orShould().beInterfaces();

    @ArchTest
    static final ArchRule FILES_ARE_OPENED_IN_FEW_ROOMS = noClasses().that().resideOutsideOfPackages("linnet.audio..", "linnet.yaml..", "linnet.chain..", "linnet.sheet..", "linnet.render..", "linnet.store..", "linnet.cli..", "linnet.demo..")
            .should().dependOnClassesThat().areAssignableTo(java.nio.file.Files.class).orShould().dependOnClassesThat().areAssignableTo(java.nio.channels.FileChannel.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.io.File.class);

    /** What was rendered here stays here, and nothing is fetched. {@code URI} names a place and opens nothing. */
    @ArchTest
    static final ArchRule NO_NETWORK = noClasses().should().dependOnClassesThat(JavaClass.Predicates.resideInAnyPackage("java.net..", "javax.net..", "java.rmi..", "javax.naming..", "com.sun.net..", "javax.management.remote..", "java.sql..")
                    .and(DescribedPredicate.not(JavaClass.Predicates.belongToAnyOf(java.net.URI.class, java.net.URISyntaxException.class, java.net.URL.class))))
            .orShould().dependOnClassesThat().areAssignableTo(java.nio.channels.NetworkChannel.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.nio.channels.AsynchronousChannel.class)
            .orShould().callMethodWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.<JavaClass>owner(JavaClass.Predicates.type(java.net.URL.class))).and(JavaCall.Predicates.target(HasName.Predicates.nameMatching("open.*|getContent"))))
            .orShould().callMethodWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.<JavaClass>owner(JavaClass.Predicates.type(java.net.URI.class))).and(JavaCall.Predicates.target(HasName.Predicates.nameMatching("toURL"))));

    /** A text is data: no other program is run, no class is looked for by a name that was read, no object comes out of bytes. */
    @ArchTest
    static final ArchRule NO_CODE_FROM_A_TEXT = noClasses().should().dependOnClassesThat().areAssignableTo(ProcessBuilder.class)
            .orShould().dependOnClassesThat().areAssignableTo(ClassLoader.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.io.ObjectInputStream.class)
            .orShould().dependOnClassesThat().resideInAnyPackage("javax.script..", "javax.tools..", "java.beans..", "java.lang.reflect..", "org.yaml.snakeyaml.constructor..")
            .orShould().callMethodWhere(JavaCall.Predicates.target(HasName.Predicates.nameMatching("forName|exec|loadLibrary|load")).and(JavaCall.Predicates.target(
                    HasOwner.Predicates.With.owner(JavaClass.Predicates.type(Class.class).or(JavaClass.Predicates.type(Runtime.class)).or(JavaClass.Predicates.type(System.class))))));

    @ArchTest
    static final ArchRule EXCEPTIONS_HAVE_NAMES = GeneralCodingRules.NO_CLASSES_SHOULD_THROW_GENERIC_EXCEPTIONS;

    @ArchTest
    static final ArchRule NO_DRAWERS = noClasses().should().haveSimpleNameEndingWith("Util").orShould().haveSimpleNameEndingWith("Utils")
            .orShould().haveSimpleNameEndingWith("Helper").orShould().haveSimpleNameEndingWith("Manager");
}
