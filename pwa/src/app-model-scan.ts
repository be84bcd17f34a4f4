/** As `app-model.ts`, for the camera: it loads behind the first screens, see `screens/app/app.tsx`. */
export { startCamera, type Camera, type CameraTrouble } from "./scan/camera";
